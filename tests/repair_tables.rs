//! The built-in tables of jobs and causes leave nothing out.

use std::sync::LazyLock;

use fixworth::lexicon::Lexicon;
use fixworth::lexicon::parts::PartKind;
use fixworth::lexicon::repairs::When;
use fixworth::lexicon::skills::SkillKind;
use fixworth::reading::Gearbox;

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| Lexicon::built_in().unwrap());

#[test]
fn every_part_has_a_job_and_every_symptom_causes() {
    assert!(LEXICON.repairs.len() >= 140);
    for id in LEXICON.parts.ids() {
        let code = LEXICON.parts.code(id);
        match LEXICON.parts.get(id).kind {
            PartKind::Part => {
                for gearbox in Gearbox::ALL {
                    for class in LEXICON.classes.iter() {
                        let job = LEXICON.repairs.for_part(id, *gearbox, &class.name);
                        assert!(job.is_some(), "{code} {gearbox} {}", class.name);
                    }
                }
            }
            PartKind::Symptom => {
                let listed = LEXICON.causes.of(id);
                assert!(
                    !listed.causes.is_empty() && listed.other.is_some(),
                    "{code}"
                );
            }
        }
    }
}

#[test]
fn every_variant_is_the_cause_of_something() {
    for id in LEXICON.repairs.ids() {
        let repair = LEXICON.repairs.get(id);
        let named = LEXICON.parts.ids().any(|s| {
            LEXICON
                .causes
                .of(s)
                .causes
                .iter()
                .any(|c| LEXICON.repairs.means(c.work, id))
        });
        assert!(repair.when != When::Variant || named, "{}", repair.job);
    }
}

#[test]
fn every_skill_and_tool_is_asked_for_by_a_job() {
    for kind in [SkillKind::Skill, SkillKind::Tool] {
        for code in LEXICON.skills.codes(kind) {
            let asked = LEXICON.repairs.ids().any(|id| {
                let r = LEXICON.repairs.get(id);
                match kind {
                    SkillKind::Skill => r.skill == code,
                    SkillKind::Tool => r.tools.iter().any(|t| t == code),
                }
            });
            assert!(asked, "{code}");
        }
    }
}

#[test]
fn gearbox_and_class_choose_the_job() {
    let job = |gearbox, class| {
        let part = LEXICON.parts.find("transmission").unwrap();
        let id = LEXICON.repairs.for_part(part, gearbox, class).unwrap();
        LEXICON.repairs.get(id).job.as_str()
    };
    assert_eq!(job(Gearbox::Unstated, "midsize"), "transmission");
    assert_eq!(job(Gearbox::Manual, "midsize"), "transmission_manual");
    assert_eq!(job(Gearbox::Cvt, "small"), "transmission_cvt");
    assert_eq!(job(Gearbox::Automatic, "pickup"), "transmission_truck");
    assert_eq!(job(Gearbox::Manual, "suv"), "transmission_manual_truck");
}
