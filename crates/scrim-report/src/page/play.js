// Playback of real tracks under a drawing. The page is whole without it.
(() => {
  const { element, stageOf } = stageParts;
  const plays = JSON.parse(document.getElementById("plays").textContent);

  const open = (figure, opener, play) => {
    const box = element("div", { class: "player", role: "group", "aria-label": `@{playback-of}` });
    const { svg: stage, show: place, time: timeAt } = stageOf(play);
    stage.setAttribute("aria-label", "@{playback-floor}");

    const now = element("p", { class: "now" });
    const time = element("span", { class: "time" });
    const current = element("span", { class: "current" });
    now.append(time, " ", current);

    const controls = element("div", { class: "controls" });
    const button = (text, hint) => {
      const made = element("button", { type: "button", title: hint }, text);
      controls.append(made);
      return made;
    };
    const run = button("@{playback-play}", "@{playback-play-key}");
    const back = button("@{playback-back}", "@{playback-back-key}");
    const on = button("@{playback-on}", "@{playback-on-key}");
    const half = button("@{playback-half}", "@{playback-half-key}");
    half.setAttribute("aria-pressed", "false");
    const close = button("@{playback-close}", "@{playback-close-key}");
    const scrub = element("input", { type: "range", min: "0", max: String(play.samples - 1), step: "1", "aria-label": "@{playback-instant}" });

    const list = element("ol", { class: "tags" });
    const tags = play.tags.map((tag) => {
      const item = element("li");
      const jump = element("button", { type: "button" }, tag.text);
      jump.addEventListener("click", () => { pause(); show(tag.at); });
      item.append(jump);
      list.append(item);
      return { at: tag.at, text: tag.text, item };
    });

    let at = 0;
    let isRunning = false;
    let isHalf = false;
    let last = 0;
    const show = (to) => {
      at = Math.min(Math.max(to, 0), play.samples - 1);
      const first = Math.floor(at);
      place(at);
      scrub.value = String(first);
      const text = timeAt(first);
      time.textContent = text;
      scrub.setAttribute("aria-valuetext", text);
      let latest = null;
      for (const tag of tags) if (tag.at <= first) latest = tag;
      for (const tag of tags) {
        // All tags of the latest instant are current.
        if (latest !== null && tag.at === latest.at) tag.item.setAttribute("aria-current", "step");
        else tag.item.removeAttribute("aria-current");
      }
      current.textContent = latest === null ? "" : latest.text;
    };
    const pause = () => {
      isRunning = false;
      run.textContent = "@{playback-play}";
    };
    const tick = (stamp) => {
      if (!isRunning || !box.isConnected) return;
      const seconds = (stamp - last) / 1000;
      last = stamp;
      show(at + seconds * play.hz * (isHalf ? 0.5 : 1));
      if (at >= play.samples - 1) pause();
      else requestAnimationFrame(tick);
    };
    const start = () => {
      if (at >= play.samples - 1) show(0);
      isRunning = true;
      run.textContent = "@{playback-pause}";
      requestAnimationFrame((stamp) => { last = stamp; tick(stamp); });
    };
    const toggle = () => (isRunning ? pause() : start());
    const step = (by) => { pause(); show(Math.floor(at) + by); };
    const slow = () => {
      isHalf = !isHalf;
      half.setAttribute("aria-pressed", String(isHalf));
    };
    const shut = () => {
      pause();
      box.remove();
      opener.hidden = false;
      opener.focus();
    };

    run.addEventListener("click", toggle);
    back.addEventListener("click", () => step(-1));
    on.addEventListener("click", () => step(1));
    half.addEventListener("click", slow);
    close.addEventListener("click", shut);
    scrub.addEventListener("input", () => { pause(); show(Number(scrub.value)); });
    box.addEventListener("keydown", (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      const isButton = event.target.tagName === "BUTTON";
      if (event.key === " " && !isButton) toggle();
      else if (event.key === "ArrowLeft") step(-1);
      else if (event.key === "ArrowRight") step(1);
      else if (event.key === "Home") step(-play.samples);
      else if (event.key === "End") step(play.samples);
      else if (event.key === "h" || event.key === "H") slow();
      else if (event.key === "Escape") shut();
      else return;
      event.preventDefault();
    });

    box.append(stage, now, scrub, controls, list);
    figure.append(box);
    opener.hidden = true;
    // Four seconds before the screen is set: what comes before it is seen too.
    show(Math.max(play.set - Math.round(4 * play.hz), 0));
    scrub.focus();
    if (!matchMedia("(prefers-reduced-motion: reduce)").matches) start();
  };

  for (const figure of document.querySelectorAll("figure[data-play]")) {
    const play = plays[Number(figure.dataset.play)];
    const opener = element("button", { type: "button", class: "opener" }, "@{playback-open}");
    opener.addEventListener("click", () => open(figure, opener, play));
    figure.append(opener);
  }
})();
