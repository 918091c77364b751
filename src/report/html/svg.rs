//! Drawings in lines, circles and words. Colours, fonts and strokes are the
//! style sheet's: a drawing has classes only, so that it serves in light, dark
//! and on paper. Figures go without quotes, as a page of the web may write them:
//! three hundred cars have tens of thousands.

use std::fmt::Write as _;

use crate::safe_text::for_html;

/// A drawing that grows mark by mark. Nothing that is written to it can fail:
/// it is a text in memory.
pub(super) struct Svg {
    out: String,
}

/// Which end of a text stands at its place.
#[derive(Debug, Clone, Copy)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

impl Svg {
    /// A drawing of a width and height. Without a label it is passed over by
    /// those who have the page read to them.
    pub fn new(class: &str, width: f64, height: f64, label: Option<&str>) -> Self {
        let told = label.map_or_else(
            || "aria-hidden=\"true\"".to_owned(),
            |label| format!("role=\"img\" aria-label=\"{}\"", for_html(label)),
        );
        Svg {
            out: format!(
                "<svg class=\"{class}\" viewBox=\"0 0 {} {}\" {told}>",
                short(width),
                short(height)
            ),
        }
    }

    pub fn line(&mut self, class: &str, from: (f64, f64), to: (f64, f64)) {
        let [x1, y1, x2, y2] = [from.0, from.1, to.0, to.1].map(short);
        self.put(format_args!(
            "<line class={class} x1={x1} y1={y1} x2={x2} y2={y2} />"
        ));
    }

    /// What stands once in the page under this name.
    pub fn shared(&mut self, id: &str) {
        self.put(format_args!("<use href=\"#{id}\"/>"));
    }

    pub fn path(&mut self, class: &str, steps: &str) {
        if !steps.is_empty() {
            let class = match class.contains(' ') {
                true => format!("\"{class}\""),
                false => class.to_owned(),
            };
            self.put(format_args!("<path class={class} d=\"{steps}\"/>"));
        }
    }

    /// A path of which only round ends are seen: dots of this radius.
    pub fn dots(&mut self, class: &str, radius: f64, steps: &str) {
        let wide = format!("{:.1}", radius * 2.0);
        self.put(format_args!(
            "<path class={class} stroke-width={wide} d=\"{steps}\"/>"
        ));
    }

    pub fn text(&mut self, class: &str, at: (f64, f64), anchor: Anchor, words: &str) {
        let (x, y) = (short(at.0), short(at.1));
        let class = match (class, anchor) {
            ("", Anchor::Start) => String::new(),
            ("", Anchor::Middle) => " class=m".to_owned(),
            ("", Anchor::End) => " class=e".to_owned(),
            (class, Anchor::Start) => format!(" class={class}"),
            (class, Anchor::Middle) => format!(" class=\"{class} m\""),
            (class, Anchor::End) => format!(" class=\"{class} e\""),
        };
        // Words stand at nothing where no place is given.
        let x = match x.as_str() {
            "0" => String::new(),
            x => format!(" x={x}"),
        };
        let words = for_html(words);
        self.put(format_args!("<text{class}{x} y={y}>{words}</text>"));
    }

    pub fn finish(mut self) -> String {
        self.out.push_str("</svg>");
        self.out
    }

    fn put(&mut self, mark: std::fmt::Arguments<'_>) {
        // Writing to a string cannot fail.
        let _ = self.out.write_fmt(mark);
    }
}

/// A place to whole units, which are about as fine as anybody sees: short
/// numbers keep the page small.
pub(super) fn short(value: f64) -> String {
    match format!("{value:.0}") {
        none if none == "-0" => "0".to_owned(),
        text => text,
    }
}

/// Steps of a path that mark one point with a dot.
pub(super) fn dot((x, y): (f64, f64)) -> String {
    format!("M{} {}h0", short(x), short(y))
}

/// Steps of a path round an upright box.
pub(super) fn block((x, y): (f64, f64), (width, height): (f64, f64)) -> String {
    let [x, y, w, h] = [x, y, width, height].map(short);
    format!("M{x} {y}h{w}v{h}h-{w}z")
}

/// Steps of a path along points: `M1 2L3 4`.
pub(super) fn along(points: impl IntoIterator<Item = (f64, f64)>) -> String {
    let mut out = String::new();
    for (i, (x, y)) in points.into_iter().enumerate() {
        let letter = if i == 0 { 'M' } else { 'L' };
        let _ = write!(out, "{letter}{} {}", short(x), short(y));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stay_words() {
        let mut svg = Svg::new("a", 10.0, 5.0, Some("<b>\"&"));
        svg.text("t", (1.04, -0.01), Anchor::End, "</text><script>");
        assert_eq!(
            svg.finish(),
            "<svg class=\"a\" viewBox=\"0 0 10 5\" role=\"img\" \
             aria-label=\"&lt;b&gt;&quot;&amp;\"><text class=\"t e\" x=1 y=0>&lt;/text&gt;&lt;script&gt;</text></svg>"
        );
    }

    #[test]
    fn a_path_goes_along_its_points() {
        assert_eq!(along([(0.0, 1.25), (2.0, 3.0)]), "M0 1L2 3");
        assert_eq!(along([]), "");
    }
}
