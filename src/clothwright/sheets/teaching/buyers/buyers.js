"use strict";
// A buyer's own sums, in the order in which the program that made this page reckons them, to the last binary place.
(() => {
  const told = JSON.parse(document.getElementById("told").textContent);
  const HAIR = 1e-6;
  const SPACE = "[ \\u00a0\\u2009\\u202f]";
  const VULGAR = {
    "½": 1 / 2, "¼": 1 / 4, "¾": 3 / 4, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 1 / 8, "⅜": 3 / 8, "⅝": 5 / 8, "⅞": 7 / 8,
  };
  const PARTS = Object.keys(VULGAR).join("");
  const ASKS = /^[1-9][0-9]{0,2},[0-9]{3}$/;
  const MIXED = new RegExp(`^(?:([0-9]+)${SPACE}+)?([0-9]+)/([0-9]+)$`);
  const WITH_PART = new RegExp(`^([0-9]*)${SPACE}?([${PARTS}])$`);
  const PLAIN = new RegExp(`^(?:[0-9]{1,3}(?:${SPACE}[0-9]{3})+(?:[.,][0-9]+)?|[0-9]+[.,][0-9]+|[.,][0-9]+|[0-9]+)$`);
  const up = (value) => Math.ceil(value - HAIR);

  function numberIn(text) {
    const mixed = MIXED.exec(text);
    if (mixed) return Number(mixed[3]) === 0 ? NaN : Number(mixed[1] || 0) + Number(mixed[2]) / Number(mixed[3]);
    const part = WITH_PART.exec(text);
    if (part) return Number(part[1] || 0) + VULGAR[part[2]];
    return PLAIN.test(text) ? Number(text.replace(new RegExp(SPACE, "g"), "").replace(",", ".")) : NaN;
  }

  function valueOf(field, typed, imperial, problems) {
    const text = (typed || "").trim();
    if (!text) return null;
    if (ASKS.test(text)) {
      problems[field.name] = told.sentences.asks;
      return null;
    }
    const number = numberIn(text);
    if (Number.isNaN(number)) problems[field.name] = told.sentences.number;
    else if (number > field.most || number < field.least || (field.over && number <= field.least))
      problems[field.name] = told.sentences.range;
    else return number * field.factors[imperial ? 1 : 0];
    return null;
  }

  function ratioOf(said, pair, problems) {
    const [first, second] = pair.map((name) => said[name]);
    if (first === null || second === null) {
      for (const [name, other] of [pair, [pair[1], pair[0]]])
        if (said[name] !== null && !(other in problems)) problems[other] = told.sentences.alone;
      return null;
    }
    const ratio = second / first;
    if (!(told.ratio[0] <= ratio && ratio <= told.ratio[1])) {
      problems[pair[1]] = told.sentences.ratio.replace("{share}", `${Math.floor(ratio * 100 + 0.5)} %`);
      return null;
    }
    return ratio;
  }

  function read(typed, imperial) {
    const problems = {}, said = {};
    for (const field of told.fields) said[field.name] = valueOf(field, typed[field.name], imperial, problems);
    const [width, length] = told.ratios.map((pair) => ratioOf(said, pair, problems));
    const found = {
      width_ratio: width,
      length_ratio: length,
      woven_of_warp: said.take_up === null ? null : 1 - said.take_up,
      pick_length: said.weft_take_up === null ? null : 1 + said.weft_take_up,
      ends_per_cm: said.ends,
      picks_per_cm: said.picks,
      waste_cm: said.waste,
      sample_cm: said.sample_first,
      warp_m_per_g: said.warp_grist,
      weft_m_per_g: said.weft_grist,
      ball_g: said.ball,
      margin: said.margin,
    };
    const figures = { ...told.usual };
    for (const [name, value] of Object.entries(found)) if (value !== null) figures[name] = value;
    return { figures, loom_cm: said.loom, problems };
  }

  function needs(figures, widthCm, lengthCm, imperial) {
    const cm = imperial ? told.cm_per_inch : 1, m = imperial ? told.m_per_yard : 1;
    const step = figures.end_step;
    const ends = step * Math.max(1, up(((widthCm / figures.width_ratio) * figures.ends_per_cm) / step));
    const width = ends / figures.ends_per_cm;
    const weave = lengthCm / figures.length_ratio;
    const quarters = imperial ? 4 : 1;
    const used = (weave + figures.sample_cm) / figures.woven_of_warp + figures.waste_cm;
    const warpLength = up((used / cm) * quarters) / quarters;
    const warpM = ((ends + figures.extra_ends) * warpLength * cm) / 100;
    const weftM = (figures.picks_per_cm * width * figures.pick_length * (weave + figures.sample_cm)) / 100;
    const warp = up(warpM / m), weft = up(weftM / m);
    const warpG = (warpM / figures.warp_m_per_g) * (1 + figures.margin);
    const weftG = (weftM / figures.weft_m_per_g) * (1 + figures.margin);
    const tenths = imperial ? 4 : 10;
    return {
      ends,
      width_in_heddle: up((width / cm) * tenths) / tenths,
      weave: up((weave / cm) * quarters) / quarters,
      warp_length: warpLength,
      warp,
      weft,
      both: warp + weft,
      weight: imperial ? up(((warpG + weftG) / told.g_per_ounce) * 10) / 10 : up(warpG + weftG),
      warp_balls: figures.ball_g > 0 ? up(warpG / figures.ball_g) : 0,
      weft_balls: figures.ball_g > 0 ? up(weftG / figures.ball_g) : 0,
    };
  }

  const shown = (value, step) => (step >= 1 ? String(value) : value.toFixed(step === 0.1 ? 1 : 2));

  function cells(cloth, figures, loomCm, imperial) {
    const one = needs(figures, cloth.width_cm, cloth.length_cm, imperial);
    const [long, thread, heavy] = imperial ? ["in", "yd", "oz"] : ["cm", "m", "g"];
    const fits = loomCm === null ? "" : figures.ends_per_cm * loomCm + HAIR >= one.ends ? "fits your loom" : "too wide for your loom";
    return [
      cloth.name,
      String(one.ends),
      `${shown(one.width_in_heddle, imperial ? 0.25 : 0.1)} ${long}`,
      `${shown(one.weave, imperial ? 0.25 : 1)} ${long}`,
      `${shown(one.warp_length, imperial ? 0.25 : 1)} ${long}`,
      `${one.warp} ${thread}`,
      `${one.weft} ${thread}`,
      `${one.both} ${thread}`,
      `${shown(one.weight, imperial ? 0.1 : 1)} ${heavy}`,
      figures.ball_g > 0 ? `${one.warp_balls} + ${one.weft_balls}` : "",
      fits,
    ];
  }

  function answer(typed, imperial) {
    const { figures, loom_cm, problems } = read(typed, imperial);
    return { rows: told.cloths.map((cloth) => cells(cloth, figures, loom_cm, imperial)), problems };
  }

  function show() {
    const imperial = document.querySelector("input[name=units]:checked").value === "imperial";
    const typed = {};
    for (const field of told.fields) typed[field.name] = document.getElementById(field.name).value;
    const { rows, problems } = answer(typed, imperial);
    for (const field of told.fields) {
      const box = document.getElementById(field.name);
      document.getElementById(`${field.name}-unit`).textContent = field.units[imperial ? 1 : 0];
      document.getElementById(`${field.name}-usual`).textContent = field.usual[imperial ? 1 : 0];
      document.getElementById(`${field.name}-problem`).textContent = problems[field.name] || "";
      box.setAttribute("aria-invalid", String(field.name in problems));
    }
    const body = document.getElementById("rows");
    body.replaceChildren(
      ...rows.map((row) => {
        const line = document.createElement("tr");
        row.forEach((text, place) => {
          const cell = document.createElement(place ? "td" : "th");
          if (!place) cell.scope = "row";
          cell.dataset.head = told.head[place];
          cell.textContent = text;
          line.append(cell);
        });
        return line;
      }),
    );
    const wrong = Object.keys(problems).length;
    document.getElementById("said").textContent = wrong
      ? `${wrong} to put right; until then the leaflet's own figures stand in for ${wrong === 1 ? "it" : "them"}.`
      : "The table goes by what you typed, and by the leaflet's own figures where you typed nothing.";
  }

  window.buyersAnswer = answer;
  document.getElementById("asked").addEventListener("input", show);
  document.getElementById("asked").addEventListener("submit", (event) => event.preventDefault());
  document.getElementById("print").addEventListener("click", () => window.print());
  show();
})();
