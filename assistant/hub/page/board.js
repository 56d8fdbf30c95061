// The board's page. It shows what the hub sends and carries answers back; every text is set as text, never as markup.

import { benchCard, counted, day, length, make, oClock, sign } from "./telling.js";

const SILENT_MS = 7000;
const SURE_MS = 8000;
const rung = new Set();
const cards = new Map();
let view = null;
let seenAt = 0;
let stream = null;
let listenedAt = 0;
let saying = 0;
let sound = null;

const at = (id) => document.getElementById(id);

function now() {
  return view.now + (performance.now() - seenAt) / 1000;
}

// questions: a card is made once, so that a reason half written stays

function questionCard(question) {
  const reason = make("input", { maxlength: "200", placeholder: "reason, may be left empty" });
  const trouble = make("p", { class: "failed", role: "alert" });
  const answers = make("div", { class: "answers" });
  const list = (heading, rows) => rows.length === 0 ? ""
    : make("div", {}, make("h4", {}, heading), make("ul", {}, ...rows.map((row) => make("li", {}, row))));
  const card = { waits: make("p", { class: "time" }), answers, element: null, sent: false };
  const send = async (yes) => {
    const body = { bench: question.bench, question: question.line, yes, reason: reason.value };
    trouble.textContent = await post("/api/board/answer", body);
    if (!trouble.textContent) onItsWay(card, question);
    else offer();
  };
  const offer = () => answers.replaceChildren(
    make("button", { class: "yes", onclick: () => sure(true) }, make("b", {}, "YES"), ` ${question.yes_does}`),
    make("button", { class: "no", onclick: () => sure(false) }, make("b", {}, "NO"), ` ${question.no_does}`));
  const sure = (yes) => {
    const meant = yes ? `YES, ${question.yes_does}` : `NO, ${question.no_does}`;
    answers.replaceChildren(
      make("button", { class: "sure", onclick: () => send(yes) }, `Send to ${question.bench}: ${meant}`),
      make("button", { onclick: offer }, "Back"));
  };
  offer();
  card.element = make("article", { class: "question" },
    make("div", { class: "top" }, sign(question.helper),
      make("h3", {}, `${question.bench}: ${question.title}`)),
    card.waits,
    make("p", {}, [question.case === null ? "" : `case ${question.case}`, question.doing,
      question.eye === null ? "" : `${question.eye} eye`].filter(Boolean).join(", ")),
    make("div", { class: "facts" }, list("Why", question.reasons), list("The plan", question.plan),
      list("What was read and measured", question.readings)),
    make("label", {}, "Reason ", reason), answers, trouble);
  return card;
}

function onItsWay(card, question) {
  if (card.sent) return;
  card.sent = true;
  card.answers.replaceChildren(make("p", { class: "sent" }, `The answer is on its way to ${question.bench}.`));
}

function showQuestions(questions) {
  const keys = questions.map((question) => `${question.bench}:${question.line}`);
  for (const [key, card] of cards) {
    if (!keys.includes(key)) {
      card.element.remove();
      cards.delete(key);
    }
  }
  questions.forEach((question, place) => {
    if (!cards.has(keys[place])) cards.set(keys[place], questionCard(question));
    const card = cards.get(keys[place]);
    if (question.answered) onItsWay(card, question);
    card.waits.textContent = `asked at ${oClock(question.asked_at)}, waits ${length(now() - question.asked_at)}`;
    const holder = at("questions");
    if (holder.children[place] !== card.element) holder.insertBefore(card.element, holder.children[place] || null);
  });
  const waiting = questions.filter((question) => !question.answered).length;
  at("asking").textContent = questions.length ? counted(questions.length, "question") : "No question waits";
  at("asking").className = questions.length ? "asking" : "";
  document.title = waiting ? `(${waiting}) The board` : "The board";
  ring(questions.filter((question) => !question.answered).map((question) => `${question.bench}:${question.line}`));
}

// once for what is new, however long it waits
function ring(keys) {
  const fresh = keys.filter((key) => !rung.has(key));
  fresh.forEach((key) => rung.add(key));
  if (fresh.length === 0 || sound === null) return;
  [0, 0.18].forEach((later) => {
    const tone = sound.createOscillator();
    const loud = sound.createGain();
    const start = sound.currentTime + later;
    tone.frequency.value = 440;
    loud.gain.setValueAtTime(0.3, start);
    loud.gain.linearRampToValueAtTime(0, start + 0.1);
    tone.connect(loud).connect(sound.destination);
    tone.start(start);
    tone.stop(start + 0.11);
  });
}

// letting go: asked twice, the second question takes the first one's place for a while

function showPairs(names) {
  if (at("pairs").dataset.names === names.join(" ")) return;
  at("pairs").dataset.names = names.join(" ");
  at("pairs").replaceChildren(...names.map((name) => {
    const row = make("div", { class: "pair" }, make("b", {}, name));
    const act = (word, path, said) => {
      const button = make("button", {}, word);
      const calm = () => { button.textContent = word; button.onclick = ask; };
      const ask = () => {
        button.textContent = `Sure? ${word}: ${name}`;
        button.onclick = async () => { calm(); say(await post(path, { bench: name }) || `${name}: ${said}`); };
        setTimeout(calm, SURE_MS);
      };
      calm();
      return button;
    };
    row.append(act("Let go", "/api/board/revoke", "let go; it works on alone"),
      act("Fetch its record again", "/api/board/forget", "the bench sends its record again"));
    return row;
  }));
}

// a browser lets a page sound only after a tap
function hear() {
  if (sound === null) {
    sound = new AudioContext();
    sound.addEventListener("statechange", showSound);
  }
  sound.resume();
}

// and takes the sound away again from a tablet that slept
function showSound() {
  at("sound").hidden = sound !== null && sound.state === "running";
}

// talking to the hub

async function post(path, body) {
  try {
    const reply = await fetch(path, {
      method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body),
    });
    if (reply.ok) return "";
    if (reply.status === 401) askCode();
    return `Not done: ${(await reply.json()).what}`;
  } catch (error) {
    return `Not done: the board does not answer (${error.message})`;
  }
}

function say(text) {
  at("said").textContent = text;
  at("said").hidden = false;
  clearTimeout(saying);
  saying = setTimeout(() => { at("said").hidden = true; }, SURE_MS);
}

function show() {
  if (view === null) return;
  const away = view.benches.filter((bench) => !bench.connected).length;
  at("kit").textContent = view.kit;
  at("clock").textContent = oClock(now());
  at("count").textContent = counted(view.benches.length, "bench", "es")
    + (away ? `, ${away} AWAY` : "");
  at("trouble").textContent = view.trouble;
  at("trouble").hidden = !view.trouble;
  showQuestions(view.questions);
  at("benches").replaceChildren(...view.benches.map((bench) => benchCard(bench, now())));
  if (!view.benches.length) at("benches").replaceChildren("No bench yet.");
  showPairs(view.benches.map((bench) => bench.name));
}

function tick() {
  const old = performance.now() - seenAt;
  const silent = view !== null && old > SILENT_MS;
  at("away").hidden = !silent;
  document.body.classList.toggle("stale", silent);
  if (silent) at("away").textContent = `The board has not answered for ${length(old / 1000)}. What stands here is old.`;
  show();
  // a connection that died without a word is never missed by the browser
  if (silent && performance.now() - listenedAt > SILENT_MS) listen();
}

function take(event) {
  view = JSON.parse(event.data);
  seenAt = performance.now();
  at("login").hidden = true;
  at("board").hidden = false;
  showSound();
  at("day").replaceChildren(...day(view.today));
  tick();
}

function askCode() {
  if (stream !== null) stream.close();
  stream = null;
  view = null;
  at("board").hidden = true;
  at("login").hidden = false;
  at("code").focus();
}

function listen() {
  if (stream !== null) stream.close();
  listenedAt = performance.now();
  stream = new EventSource("/api/board/stream");
  stream.addEventListener("message", take);
  stream.addEventListener("error", async () => {
    if (stream === null || stream.readyState !== EventSource.CLOSED) return;
    // the browser gives up on a refusal: either the code is wanted again, or the board is starting
    const reply = await fetch("/api/board/view").catch(() => null);
    if (reply !== null && reply.status === 401) askCode();
    else setTimeout(listen, 1000);
  });
}

at("login").addEventListener("submit", async (event) => {
  event.preventDefault();
  hear();
  const trouble = await post("/api/board/login", { code: at("code").value });
  at("login-trouble").textContent = trouble;
  at("code").value = "";
  if (!trouble) listen();
});

at("sound").addEventListener("click", hear);

at("counting").addEventListener("submit", async (event) => {
  event.preventDefault();
  const pocket = Number(at("pocket").value);
  const count = Number(at("lenses").value);
  const trouble = await post("/api/board/count", { pocket, count });
  say(trouble || `Pocket ${pocket}: ${count} lenses, sent to be written down.`);
  if (!trouble) at("counting").reset();
});

setInterval(tick, 1000);
listen();
