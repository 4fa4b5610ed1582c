// The floor with ten players and the ball at an instant of real tracks. All text from data goes through textContent.
"use strict";
const stageParts = (() => {
  const SVG = "http://www.w3.org/2000/svg";

  const element = (name, attributes = {}, text) => {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (text !== undefined) made.textContent = text;
    return made;
  };
  const shape = (name, attributes, parent) => {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    parent.append(made);
    return made;
  };
  // The first value and differences become values again; null stays null.
  const summed = (steps) => {
    let last = 0;
    return steps.map((step) => (step === null ? null : (last += step)));
  };
  const minutes = (tenths) => {
    const whole = Math.floor(tenths / 10);
    return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}.${tenths % 10}`;
  };

  const number = (mover, at, group) => {
    const label = shape("text", {
      "text-anchor": "middle", fill: "currentColor", stroke: "none", "font-family": "sans-serif", "font-weight": "600", ...at,
    }, group);
    label.textContent = mover.label;
  };
  // `mark`: the player is one of the two that the page asks about: "double" or "dashed" beside a plain circle.
  const drawMover = (mover, stage, numbersDefenders, mark) => {
    const group = shape("g", { fill: "none", stroke: "currentColor", "stroke-width": "1.2" }, stage);
    if (mover.side === "ball") {
      shape("circle", { r: "2.3", fill: "currentColor" }, group);
    } else if (mover.side === "defense") {
      shape("path", { d: "M-3.6 -3.6L3.6 3.6M-3.6 3.6L3.6 -3.6", "stroke-linecap": "round", "stroke-width": "1.5" }, group);
      if (numbersDefenders) number(mover, { y: "10.2", "font-size": "5.6", "font-weight": "400" }, group);
    } else {
      if (mark === "double") shape("circle", { r: "8.8" }, group);
      if (mark === "dashed") shape("circle", { r: "8.8", "stroke-dasharray": "2.4 2.2" }, group);
      shape("circle", { r: "6.2", fill: "var(--paper, #fff)" }, group);
      number(mover, { y: "2.6", "font-size": "7.4" }, group);
    }
    shape("title", {}, group).textContent = mover.name;
    return { group, x: summed(mover.x), y: summed(mover.y) };
  };

  // A possession's floor: its element, and what puts everyone where they are at a sample (between two, on the straight line).
  const stageOf = (play, { numbersDefenders = false, marks = {} } = {}) => {
    const svg = document.createElementNS(SVG, "svg");
    svg.setAttribute("viewBox", play.view_box);
    svg.setAttribute("class", "court stage");
    svg.setAttribute("role", "img");
    shape("use", { href: `#court-${play.court}` }, svg);
    const order = ["defense", "offense", "ball"];
    const movers = [...play.movers]
      .sort((a, b) => order.indexOf(a.side) - order.indexOf(b.side))
      .map((mover) => drawMover(mover, svg, numbersDefenders, marks[mover.id]));
    const clock = summed(play.clock);
    const show = (at) => {
      const first = Math.floor(at);
      const second = Math.min(first + 1, play.samples - 1);
      const share = at - first;
      for (const mover of movers) {
        const between = (of) => (of[second] === null ? of[first] : of[first] + (of[second] - of[first]) * share);
        if (mover.x[first] === null) {
          mover.group.setAttribute("visibility", "hidden");
          continue;
        }
        mover.group.setAttribute("visibility", "visible");
        mover.group.setAttribute("transform", `translate(${(between(mover.x) / 10).toFixed(2)} ${(between(mover.y) / 10).toFixed(2)})`);
      }
    };
    const time = (sample) => {
      const left = clock[sample];
      return left === null
        ? `@{playback-since}`
        : `@{period-clock}`;
    };
    return { svg, show, time };
  };
  return { element, stageOf };
})();
