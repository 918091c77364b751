"use strict";
// Sorting, choosing, and what a price makes of a car. The page works without
// this script; it only adds. Sums are done in hundredths and whole points, as
// the program does them, so that both say the same.
(() => {
  const all = (selector, from = document) => [...from.querySelectorAll(selector)];
  const number = (text) => (text === undefined || text === "" ? null : Number(text));

  const form = document.querySelector(".choose");
  const list = document.querySelector(".cars");
  const limits = {
    wanted: Number(document.body.dataset.wanted),
    loss: Number(document.body.dataset.lossLimit),
  };
  const standings = document.body.dataset;
  const cars = all(".car").map((row) => ({
    row,
    details: row.querySelector("details"),
    skills: row.dataset.skills ? row.dataset.skills.split(" ") : [],
    value: (key) => number(row.dataset[key]),
  }));

  // ---- order and choice

  // Which figure comes first: the most, or the least.
  const leastFirst = new Set(["rank", "losing", "ask", "hours", "miles", "away"]);

  // The figure that ranks, unknown last; then the rank.
  function order(key) {
    const sign = leastFirst.has(key) ? 1 : -1;
    return (a, b) => {
      const [x, y] = [a.value(key), b.value(key)];
      if (x !== y && (x === null || y === null)) return x === null ? 1 : -1;
      return sign * (x - y) || a.value("rank") - b.value("rank");
    };
  }

  function isChosen(car, wish) {
    const ask = car.value("ask");
    const margin = car.value("margin");
    const hours = car.value("hours");
    const away = car.value("away");
    return (
      (wish.ask === null || ask === null || ask <= wish.ask) &&
      (wish.margin === null || (margin !== null && margin >= wish.margin)) &&
      (wish.hours === null || (hours !== null && hours <= wish.hours)) &&
      (wish.away === null || (away !== null && away <= wish.away)) &&
      (!wish.place || car.row.dataset.place === wish.place) &&
      wish.actions.includes(car.row.dataset.action) &&
      !wish.without.some((skill) => car.skills.includes(skill))
    );
  }

  function choose() {
    const read = new FormData(form);
    const wish = {
      ask: number(read.get("ask")),
      margin: number(read.get("margin")),
      hours: number(read.get("hours")),
      away: number(read.get("away") ?? ""),
      place: read.get("place"),
      actions: read.getAll("action"),
      without: read.getAll("skill"),
    };
    let shown = 0;
    for (const car of cars.sort(order(read.get("sort")))) {
      const chosen = isChosen(car, wish);
      car.row.hidden = !chosen;
      shown += chosen ? 1 : 0;
    }
    list.append(...cars.map((car) => car.row));
    form.elements.count.value = `${shown} of ${cars.length} shown`;
    const none = document.querySelector(".none");
    none.hidden = shown > 0 || cars.length === 0;
  }

  // ---- what a price makes of a car

  // Whole units with thousands, halves away from zero.
  function amount(cents) {
    const units = Math.round(Math.abs(cents) / 100);
    const text = String(units).replace(/\B(?=(\d{3})+$)/g, ",");
    return cents < 0 && units > 0 ? `-${text}` : text;
  }

  function atPrice(spread, price) {
    const [mean, low, high] = spread.cents.map((c) => c - price * 100);
    const losing = spread.points.filter((point) => point < price).length;
    let standing = "pays";
    if (mean < limits.wanted) standing = "dear";
    else if (losing / spread.points.length > limits.loss) standing = "risky";
    return { mean, low, high, losing, standing };
  }

  // The middles of twenty equally likely slices, between the points on a
  // straight line.
  function outcomes(points, count) {
    return Array.from({ length: count }, (_, i) => {
      const at = Math.max(((i + 0.5) / count) * points.length - 0.5, 0);
      const below = Math.floor(at);
      const above = Math.min(below + 1, points.length - 1);
      return points[below] + (points[above] - points[below]) * (at - below);
    });
  }

  function setUpPrice(section) {
    // The first point, then by how much each is above the one before.
    let point = 0;
    const spread = {
      cents: section.dataset.cents.split(" ").map(Number),
      points: section.dataset.points.split(" ").map((step) => (point += Number(step))),
    };
    const end = Number(section.dataset.end);
    const field = (about, ...within) => {
      const input = Object.assign(document.createElement("input"), about);
      for (const place of within) place.append(input);
      return input;
    };
    const start = Number(section.dataset.price);
    const slider = field(
      { type: "range", min: 0, max: end, step: section.dataset.step, ariaLabel: "price paid" },
      section.querySelector(".dotted"),
    );
    const label = document.createElement("label");
    const first = section.querySelector(".paid");
    label.append("Price paid ");
    const exact = field(
      { type: "number", inputMode: "numeric", min: 0, step: 1, value: start },
      label,
    );
    first.before(label);
    // Each dot a step of the path, the least outcome first.
    const [lost, core, won] = [".lost", ".core", ".won"].map((q) => section.querySelector(q));
    const steps = (path) => path.getAttribute("d").match(/M[^M]+/g) ?? [];
    const dots = [...steps(lost), ...steps(won)];
    const values = outcomes(spread.points, dots.length);
    const line = section.querySelector("line.price");
    const width = section.querySelector(".dots").viewBox.baseVal.width;
    const put = (name, text) => {
      section.querySelector(`.${name}`).textContent = text;
    };

    function show(price) {
      const at = atPrice(spread, price);
      const sign = standings.sign;
      put("mean", sign + amount(at.mean));
      put("range", `${amount(at.low)} and ${amount(at.high)}`);
      put("loss", `in ${at.losing} of ${spread.points.length} outcomes`);
      put("standing", standings[at.standing]);
      const x = Math.min(price / end, 1) * width;
      line.setAttribute("x1", x);
      line.setAttribute("x2", x);
      const below = values.filter((value) => value < price).length;
      lost.setAttribute("d", dots.slice(0, below).join(""));
      core.setAttribute("d", dots.slice(0, below).join(""));
      won.setAttribute("d", dots.slice(below).join(""));
      first.hidden = price !== start;
      slider.setAttribute(
        "aria-valuetext",
        `${sign}${amount(price * 100)}: leaves ${sign}${amount(at.mean)}, ` +
          `loses in ${at.losing} of ${spread.points.length}, ${standings[at.standing]}`,
      );
    }

    // Empty or broken while it is typed: the last price stays.
    exact.addEventListener("input", () => {
      const price = exact.valueAsNumber;
      if (!(price >= 0)) return;
      slider.value = price;
      show(Math.round(price));
    });
    slider.addEventListener("input", () => {
      exact.value = slider.value;
      show(slider.valueAsNumber);
    });
    slider.value = start;
    show(start);
  }

  // ---- beginning

  for (const car of cars) {
    // Set up when first opened: three hundred at once would be felt.
    car.details.addEventListener("toggle", () => {
      const section = car.row.querySelector("section.price");
      if (section && !section.dataset.ready) {
        section.dataset.ready = "yes";
        setUpPrice(section);
      }
    });
  }
  const setOpen = (open) => {
    for (const car of cars) {
      if (!open || !car.row.hidden) car.details.open = open;
    }
  };
  // Some browsers tell only the one or the other of a list that was chosen from.
  form.addEventListener("input", choose);
  form.addEventListener("change", choose);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("reset", () => setTimeout(choose));
  form.elements.open.addEventListener("click", () => setOpen(true));
  form.elements.close.addEventListener("click", () => setOpen(false));
  form.elements.print.addEventListener("click", () => window.print());
  form.hidden = cars.length === 0;
  form.querySelector(".wish").open = matchMedia("(min-width: 62rem)").matches;
  choose();
})();
