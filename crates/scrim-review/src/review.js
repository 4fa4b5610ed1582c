// One clip after the other, and an answer to each by one key. All text from data goes through textContent.
(() => {
  const { element, stageOf } = stageParts;
  const at = (id) => document.getElementById(id);
  const questions = JSON.parse(at("questions").textContent);
  const LETTERS = "abcdefghijklmnopqrstuvwxy";
  const kinds = questions.find((question) => question.name === "screen_kind").choices;

  let state = null;
  let shown = null; // The clip at hand, as the door gave it.
  let clips = new Map(); // Clips that were fetched, by place.
  let stage = null;
  let sample = 0;
  let isRunning = false;
  let speed = 1;
  let lastStamp = 0;
  let shownAt = 0;
  let keys = 0;
  let isBusy = false; // An answer is on its way.
  let choosing = null; // What a letter chooses, while it does.
  let takesKeys = true;

  const say = (text) => { at("said").textContent = text; };
  const trouble = (text) => {
    at("trouble").hidden = text === null;
    at("trouble").textContent = text ?? "";
  };

  // --- The door ---------------------------------------------------------------------------------------------------
  const ask = async (path, options) => {
    let response;
    try {
      response = await fetch(path, options);
    } catch {
      throw new Error("NOT SAVED: scrim does not answer. Is it still running? The page did not move on; answer again when it runs.");
    }
    if (!response.ok) {
      const error = new Error((await response.text()).trim());
      error.isStale = response.status === 409;
      throw error;
    }
    return response.json();
  };
  const clipAt = async (place) => {
    if (!clips.has(place)) clips.set(place, await ask(`clip/${place}`));
    return clips.get(place);
  };
  // Whether it is saved: if not, the page stays where it is.
  const give = async (answer) => {
    if (isBusy) return false;
    isBusy = true;
    const body = { after: state.lines, clip: state.clip ?? 0, seconds: (performance.now() - shownAt) / 1000, keys, answer };
    try {
      const next = await ask("answer", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
      trouble(next.warning);
      await take(next);
      return true;
    } catch (error) {
      trouble(error.message);
      if (error.isStale) await ask("state").then(take).catch(() => {});
      return false;
    } finally {
      isBusy = false;
    }
  };

  // --- Words ------------------------------------------------------------------------------------------------------
  const player = (id) => shown.clip.attackers.find((one) => one.id === id)?.called ?? id;
  const said = (question, word) => {
    if (word === null) return "wrong, cannot tell which";
    if (word === undefined || word === "") return "nothing";
    if (question.is_of_players) return player(word);
    const choice = question.choices.find((one) => one.word === word);
    // What comes after a colon is the word's meaning.
    return choice ? choice.said.split(":")[0] : word.replaceAll("_", " ");
  };
  const wordOf = (question) => (question.name in state.words ? state.words[question.name] : shown.shown[question.name]);
  const sentence = () => {
    const of = (name) => {
      const question = questions.find((one) => one.name === name);
      return said(question, wordOf(question));
    };
    const early = shown.early_denial ? ", denied early" : "";
    return `${of("screener_id")} screens for ${of("user_id")}: ${of("screen_kind")}, ${of("outcome")}${early}, ${of("coverage")}`;
  };

  // --- Playback ---------------------------------------------------------------------------------------------------
  const play = () => shown.clip.playback;
  const show = (to) => {
    sample = Math.min(Math.max(to, 0), play().samples - 1);
    const first = Math.floor(sample);
    stage.show(sample);
    at("scrub").value = String(first);
    const fromUse = sample / play().hz - shown.clip.use_s;
    at("clock").textContent = stage.time(first);
    at("to-use").textContent = Math.abs(fromUse) < 0.15 ? "the use" : fromUse < 0
      ? `${(-fromUse).toFixed(1)} s to the use` : `${fromUse.toFixed(1)} s after the use`;
    at("scrub").setAttribute("aria-valuetext", `${at("clock").textContent}, ${at("to-use").textContent}`);
  };
  const pause = () => { isRunning = false; };
  const tick = (stamp) => {
    if (!isRunning) return;
    const seconds = (stamp - lastStamp) / 1000;
    lastStamp = stamp;
    show(sample + seconds * play().hz * speed);
    if (sample >= play().samples - 1) pause();
    else requestAnimationFrame(tick);
  };
  const start = () => {
    if (isRunning) return;
    if (sample >= play().samples - 1) show(0);
    isRunning = true;
    requestAnimationFrame((stamp) => { lastStamp = stamp; tick(stamp); });
  };
  const again = () => { show(0); start(); };
  const step = (by) => { pause(); show(Math.floor(sample) + by); };
  const slower = () => {
    speed = speed === 1 ? 0.5 : speed === 0.5 ? 0.25 : 1;
    say(`speed ${speed}`);
    document.querySelector('[data-do="slower"] span').textContent = speed === 1 ? "slower" : `slower (now ${speed})`;
  };
  const drawStage = () => {
    const question = (name) => questions.find((one) => one.name === name);
    const marks = {};
    for (const [name, mark] of [["screener_id", "double"], ["user_id", "dashed"]]) {
      const id = wordOf(question(name));
      if (id) marks[id] = mark;
    }
    stage = stageOf(play(), { numbersDefenders: true, marks });
    stage.svg.setAttribute("aria-label", "The floor with ten players and the ball, moving as tracked.");
    at("stage").replaceChildren(stage.svg);
    at("scrub").max = String(play().samples - 1);
    show(sample);
  };

  // --- The clip at hand --------------------------------------------------------------------------------------------
  const drawCount = () => {
    const mean = state.ended > 0 ? state.seconds / state.ended : null;
    const left = state.total - state.ended;
    const pace = mean === null ? "" : `, ${mean.toFixed(1)} s a clip, ${Math.max(1, Math.round((left * mean) / 60))} min to go`;
    at("count").textContent = `${state.ended} of ${state.total} answered${left > 0 ? pace : ""}`;
    at("progress").max = Math.max(state.total, 1);
    at("progress").value = state.ended;
    for (const button of document.querySelectorAll('[data-do="back"]')) button.disabled = state.last === null;
  };
  const drawLines = () => {
    at("says").textContent = `${sentence()}.`;
    const lines = questions.map((question, place) => {
      const button = element("button", { type: "button", "aria-keyshortcuts": String(place + 1) });
      const word = wordOf(question);
      button.append(element("kbd", {}, String(place + 1)), " ", element("span", { class: "title" }, `${question.title}:`), " ");
      if (question.name in state.words) {
        button.append(element("span", { class: "was" }, said(question, shown.shown[question.name])), " now ");
      }
      button.append(element("span", { class: "word" }, said(question, word)));
      button.addEventListener("click", () => chooseWord(place, false));
      return button;
    });
    at("lines").replaceChildren(...lines);
    const when = (t_s) => {
      const later = t_s - shown.t_use_s;
      return `${Math.abs(later).toFixed(1)} s ${later < 0 ? "before" : "after"} it`;
    };
    at("beside").hidden = shown.beside.length === 0;
    at("beside").textContent = `Tagged too, and asked apart: ${shown.beside
      .map((one) => `${player(one.screener_id)} for ${player(one.user_id)}, ${when(one.t_use_s)}`).join("; ")}.`;
    at("noted").hidden = state.missed.length === 0;
    at("noted").textContent = state.missed.map(([screener, user]) => `Missed, noted: ${player(screener)} for ${player(user)}.`).join(" ");
  };
  const take = async (next) => {
    const isOther = state === null || next.clip !== state.clip;
    const clip = next.clip === null ? null : await clipAt(next.clip);
    state = next;
    drawCount();
    at("clip").hidden = clip === null;
    at("end").hidden = clip !== null;
    if (clip === null) {
      pause();
      shown = null;
      close();
      say("All clips of this sitting are answered.");
      at("ended").focus();
      return;
    }
    shown = clip;
    if (isOther) {
      close();
      sample = 0;
      keys = 0;
      shownAt = performance.now();
      at("which").textContent = `${clip.clip.when}, ${clip.clip.game}, ${clip.clip.team} attacks`;
    }
    drawLines();
    drawStage();
    if (isOther) {
      say(`Clip ${state.ended + 1} of ${state.total}. ${sentence()}.`);
      at("which").focus({ preventScroll: true });
      pause();
      if (!matchMedia("(prefers-reduced-motion: reduce)").matches) start();
      // The next one is fetched while this one is looked at.
      if (state.clip + 1 < state.held) clipAt(state.clip + 1).catch(() => {});
    }
  };

  // --- Choosing by a letter ----------------------------------------------------------------------------------------
  const close = () => {
    choosing = null;
    at("chooser").hidden = true;
    for (const id of ["lines", "answers"]) at(id).hidden = false;
  };
  // `options`: [text, what it does, whether it is what stands]; `keep`: what Enter does.
  const choose = (title, options, { other = null, keep = null } = {}) => {
    const all = options.map(([text, act, isIt], place) => ({ key: LETTERS[place], text, act, isIt }));
    if (other !== null) all.push({ key: "z", text: other[0], act: other[1], isIt: false });
    if (keep !== null) all.push({ key: "Enter", text: keep[0], act: keep[1], isIt: false });
    all.push({ key: "Escape", text: "leave this", act: () => { close(); say("Left."); }, isIt: false });
    choosing = all;
    at("choosing").textContent = title;
    at("choices").replaceChildren(...all.map(({ key, text, act, isIt }) => {
      const button = element("button", { type: "button", "aria-keyshortcuts": key });
      if (isIt) button.setAttribute("aria-current", "true");
      button.append(element("kbd", {}, key.length === 1 ? key.toUpperCase() : key), " ", element("span", {}, text));
      button.addEventListener("click", act);
      return button;
    }));
    at("chooser").hidden = false;
    // It takes their place, so that all of it is seen without scrolling; their keys mean words now.
    for (const id of ["lines", "answers"]) at(id).hidden = true;
    at("chooser").setAttribute("aria-labelledby", "choosing");
    say(`${title} ${all.map(({ key, text }) => `${key}: ${text}`).join(", ")}`);
  };
  const isDone = (place) => place + 1 >= questions.length;
  const goOn = (place) => (isDone(place) ? give({ what: "right" }) : chooseWord(place + 1, true));
  const chooseWord = (place, isWalking) => {
    const question = questions[place];
    const now = wordOf(question);
    const put = async (word) => {
      if (word !== now && !(await give({ what: "word", question: question.name, word }))) return;
      close();
      if (isWalking) goOn(place);
      else say(`${question.title}: ${said(question, word)}. R ends the clip.`);
    };
    const words = question.is_of_players
      ? shown.clip.attackers.map(({ id, called }) => [called, id])
      : question.choices.map((choice) => [choice.said, choice.word]);
    const options = words.map(([text, word]) => [text, () => put(word), word === now]);
    const title = `${place + 1}. ${question.title}?`;
    choose(title, options, {
      other: question.is_of_players ? null : ["wrong, but I cannot tell which", () => put(null)],
      keep: isWalking ? [`as it is: ${said(question, now)}`, () => { close(); goOn(place); }] : null,
    });
  };
  const chooseMissed = () => {
    pause();
    const t_use_s = play().t_start_s + sample / play().hz;
    const players = (not) => shown.clip.attackers.filter(({ id }) => id !== not);
    choose("Missed here: who screens?", players(null).map(({ id: screener_id, called }) => [called, () => {
      choose(`${called} screens for whom?`, players(screener_id).map(({ id: user_id, called: user }) => [user, () => {
        choose(`${called} for ${user}: which kind?`, kinds.map(({ word, said: text }) => [text, async () => {
          if (!(await give({ what: "missed", screener_id, user_id, screen_kind: word, t_use_s }))) return;
          close();
          say(`Noted: ${called} screens for ${user}. Now answer the clip itself.`);
        }, false]));
      }, false]));
    }, false]));
  };

  // --- Keys --------------------------------------------------------------------------------------------------------
  const acts = {
    right: () => give({ what: "right" }),
    walk: () => chooseWord(0, true),
    none: () => give({ what: "not_a_screen" }),
    missed: chooseMissed,
    unknown: () => give({ what: "cannot_tell" }),
    back: () => { if (state.last !== null) give({ what: "taken_back", line: state.last }); },
    again, slower,
    pause: () => (isRunning ? pause() : start()),
    earlier: () => step(-1),
    later: () => step(1),
  };
  const ofKey = { r: "right", w: "walk", n: "none", m: "missed", t: "unknown", b: "back", p: "again", s: "slower", " ": "pause",
    ArrowLeft: "earlier", ArrowRight: "later" }; // prettier-ignore
  const ofPlayback = ["again", "slower", "pause", "earlier", "later"];

  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || state === null) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const focused = event.target.tagName;
    // What a focused control does with a key is its own.
    if (focused === "BUTTON" && (key === " " || key === "Enter")) return;
    if (focused === "INPUT" && key.startsWith("Arrow")) return;
    if (!takesKeys && key !== "Escape") return;
    if (event.repeat && !key.startsWith("Arrow")) return;
    let act = null;
    if (choosing !== null) {
      act = choosing.find((one) => one.key === key)?.act ?? null;
      if (act === null && [" ", "ArrowLeft", "ArrowRight"].includes(key)) act = acts[ofKey[key]];
    } else if (shown === null) {
      if (key === "b") act = acts.back;
    } else if (key >= "1" && key <= String(questions.length) && key.length === 1) {
      act = () => chooseWord(Number(key) - 1, false);
    } else if (key in ofKey) {
      act = acts[ofKey[key]];
    }
    if (act === null) return;
    event.preventDefault();
    keys += 1;
    if (!isBusy || ofPlayback.includes(ofKey[key])) act();
  });
  for (const button of document.querySelectorAll("[data-do]")) {
    button.addEventListener("click", () => { keys += 1; if (!isBusy) acts[button.dataset.do](); });
  }
  at("scrub").addEventListener("input", () => { pause(); show(Number(at("scrub").value)); });
  at("keys-on").addEventListener("click", () => {
    takesKeys = !takesKeys;
    at("keys-on").setAttribute("aria-pressed", String(takesKeys));
    say(takesKeys ? "Single keys answer." : "Single keys do nothing; the buttons answer.");
  });

  ask("state").then(take).catch((error) => trouble(error.message));
})();
