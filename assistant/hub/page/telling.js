// What the hub's views say, as parts of a page. Everything is set as text, never as markup; time comes in from outside.

export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else element.setAttribute(name, value);
  }
  element.append(...children.filter((child) => child !== null && child !== ""));
  return element;
}

export function sign(helper) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("class", "sign");
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", helper === null ? "no helper yet" : `helper ${helper}`);
  if (helper !== null) {
    const use = document.createElementNS("http://www.w3.org/2000/svg", "use");
    use.setAttribute("href", `#sign-${helper}`);
    svg.append(use);
  }
  return svg;
}

export function length(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const two = (number) => String(number).padStart(2, "0");
  if (whole < 3600) return `${Math.floor(whole / 60)}:${two(whole % 60)}`;
  return `${Math.floor(whole / 3600)} h ${two(Math.floor((whole % 3600) / 60))}`;
}

export function oClock(seconds) {
  return new Date(seconds * 1000).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

export const counted = (count, what, ending = "s") => `${count} ${what}${count === 1 ? "" : ending}`;
const signed = (value) => (value < 0 ? "" : "+") + value.toFixed(2);

function isLate(bench, now) {
  const known = bench.connected && bench.asked_at === null && bench.budget_s !== null && bench.step_since > 0;
  return known && now - bench.step_since > bench.budget_s;
}

function stateOf(bench, now) {
  if (!bench.connected) return ["away", "AWAY"];
  if (bench.asked_at !== null) return ["asks", "ASKS YOU"];
  return isLate(bench, now) ? ["late", "LATE"] : ["well", "at work"];
}

function timeOf(bench, now) {
  if (!bench.connected) {
    return bench.heard_at === null ? "not heard since the board started"
      : `not heard since ${oClock(bench.heard_at)} (${length(now - bench.heard_at)})`;
  }
  if (bench.asked_at !== null) return `waits for you ${length(now - bench.asked_at)}`;
  if (!bench.step_since) return "";
  const spent = length(now - bench.step_since);
  return bench.budget_s === null ? `on it for ${spent}` : `on it for ${spent} of ${length(bench.budget_s)}`;
}

// benches

export function benchCard(bench, now) {
  const [state, word] = stateOf(bench, now);
  const verdict = bench.verdict;
  const work = [bench.case === null ? "" : `case ${bench.case}`, bench.eye === null ? "" : `${bench.eye} eye`];
  const card = make("article", { class: `bench ${state}` },
    make("div", { class: "top" }, sign(bench.helper), make("h3", {}, bench.name),
      make("span", { class: "state" }, word)),
    make("p", { class: "doing" }, bench.doing),
    make("p", {}, work.filter(Boolean).join(", ") || "no pair in hand"),
    make("p", { class: "time" }, timeOf(bench, now)),
    bench.places > 1
      ? make("progress", { max: bench.places, value: bench.place - 1, "aria-label": "steps done" }) : "",
    make("p", { class: "small" }, (bench.places > 1 ? `step ${bench.place} of ${bench.places}, ` : "")
      + `${bench.pairs_done} made, ${bench.waiting} waiting`));
  if (verdict !== null) card.append(verdictLine(verdict));
  if (bench.trouble) card.append(make("p", { class: "failed" }, bench.trouble));
  return card;
}

function verdictLine(verdict) {
  const word = verdict.passed ? "passed" : "FAILED";
  const short = verdict.short.replace("not right: ", "");
  return make("p", { class: verdict.passed ? "passed" : "failed" }, `last pair ${verdict.case} ${word}: ${short}`,
    verdict.causes.length ? `. Likely: ${verdict.causes[0]}` : "");
}

export function day(today) {
  const table = (heading, rows) => rows.length === 0 ? ""
    : make("div", {}, make("h3", {}, heading), make("ul", {}, ...rows.map((row) => make("li", {}, row))));
  const minutes = today.pair_minutes === null ? "" : `, ${today.pair_minutes.toFixed(1)} minutes each`;
  const wrong = today.steps.filter((step) => step.first_time < step.done).slice(0, 6);
  const pockets = today.running_out.map((pocket) =>
    `pocket ${pocket.pocket} (${signed(pocket.sphere)}/${signed(pocket.cylinder)}): `
    + (pocket.left > 0 ? `${pocket.left} left` : "none left"));
  if (today.running_out_more) pockets.push(`and ${counted(today.running_out_more, "more pocket")}`);
  return [
    ...today.patterns.map(patternCard),
    make("p", { class: "big" }, `${counted(today.pairs_done, "pair")} done${minutes}`),
    make("p", {}, `${today.not_made} sent back or given up; lenses: ${today.broken} broken, ${today.set_aside} set aside`),
    table("Right at the first try", wrong.map((step) =>
      `${step.doing}: ${step.first_time} of ${step.done} (${Math.floor((100 * step.first_time) / step.done)}%)`)),
    table("Pockets to count", today.to_count.map(difference)),
    table("Pockets running out", pockets),
  ].filter((part) => part !== "");
}

function difference(d) {
  if (d.expected < 0) return `pocket ${d.pocket}: ${-d.expected} more taken than can have been there, last by ${d.bench}`;
  return `pocket ${d.pocket}: the books say ${d.expected}, ${d.bench} found ${d.found} at ${oClock(d.at)}`;
}

function patternCard(pattern) {
  const where = pattern.bench === null ? "all benches" : `bench ${pattern.bench}`;
  const sure = pattern.sure > 0.999 ? "over 99.9 %" : `${(100 * pattern.sure).toFixed(1)} %`;
  return make("article", { class: "pattern" },
    make("h3", {}, `${where}${pattern.helper === null ? "" : `, helper ${pattern.helper}`}: ${pattern.what}`),
    make("p", {}, `${pattern.evidence}; ${sure} sure.`), make("p", {}, pattern.todo));
}
