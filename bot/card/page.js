
"use strict";
// Works out a day's amounts for a weight as the program does: planner.BowlFor and
// planner.RoundParts. A test holds the two together.
const sums = JSON.parse(document.getElementById("sums").textContent);
// The pound and the ounce are exact: international agreement of 1959. All else is
// the program's, with its source there.
const kilosPerPound = 0.45359237, gramsPerOunce = 28.349523125;

// trim prints x with at most so many decimals.
const trim = (x, decimals) => decimals ? x.toFixed(decimals).replace(/\.?0+$/, "") : x.toFixed(0);

// step is how many units the scale jumps at an amount in units.
const step = (x, oz) => oz || x < 50 ? 1 : 5;
const slack = p => Math.max(p.step, p.x / 10);
const cost = (p, n) => {
  const move = Math.abs(n - p.x);
  let c = move * move / p.x;
  const own = Math.max(p.step, p.x / 20);
  if (move > own) c += 1e6 * (move - own);
  if (move > slack(p)) c += 1e12 * (move - slack(p));
  return Math.fround(c);
};
const up = p => cost(p, p.n + p.step) - cost(p, p.n);

// fill rounds fine parts so that they add up to rest; returns what that costs.
function fill(fine, rest, limit) {
  let all = 0;
  for (const p of fine) {
    p.n = Math.max(Math.round(p.x), p.least);
    all += cost(p, p.n);
    rest -= p.n;
  }
  while (rest !== 0 && all < limit) {
    const by = rest < 0 ? -1 : 1;
    let best = null, least = Infinity;
    for (const p of fine) {
      if (p.n + by < p.least || p.n + by > p.most) continue;
      const c = cost(p, p.n + by) - cost(p, p.n);
      if (c < least) { best = p; least = c; }
    }
    if (!best) return Infinity;
    best.n += by;
    all += least;
    rest -= by;
  }
  return rest === 0 ? all : Infinity;
}

// fit rounds the parts so that they add up to the whole, if it can.
function fit(fine, coarse, whole) {
  let rest = whole, all = 0;
  for (const p of coarse) { p.n = Math.floor(p.x / 5) * 5; rest -= p.n; }
  coarse.sort((a, b) => up(a) - up(b) || a.i - b.i);
  for (const p of coarse) all += cost(p, p.n);
  let best = -1, least = Infinity;
  for (let k = 0; ; k++) {
    const c = all + fill(fine, rest - k * 5, least - all);
    if (c < least) { best = k; least = c; }
    if (k === coarse.length) break;
    all += up(coarse[k]);
  }
  if (best < 0) return false;
  fill(fine, rest - best * 5, Infinity);
  for (let i = 0; i < best; i++) coarse[i].n += 5;
  return fine.every(p => Math.abs(p.n - p.x) <= slack(p) + 1e-9);
}

// loosen rounds each part by itself; the whole is what they add up to.
function loosen(fine, coarse, sum) {
  let whole = 0;
  for (const p of fine) { p.n = Math.max(Math.round(p.x), p.least); whole += p.n; }
  for (const p of coarse) { p.n = Math.floor(p.x / 5) * 5; whole += p.n; }
  coarse.sort((a, b) => up(a) - up(b) || a.i - b.i);
  for (const p of coarse) {
    if (sum - whole < 2.5) break;
    p.n += 5;
    whole += 5;
  }
  return whole;
}

// bowl is a day's amounts as text, in grams or ounces.
function bowl(kcal, oz) {
  const unit = oz ? gramsPerOunce / 10 : 1;
  const factor = kcal / sums.kcal * sums.grams / sums.grams;
  const fine = [], coarse = [], texts = [];
  let sum = 0;
  sums.lines.forEach((line, i) => {
    const g = line.grams * factor;
    const off = Math.abs(Math.round(g / unit) * unit - g) > 0.1 * g;
    if (g < 0.95 * unit || line.fine && g < 5 && off) { // less than a scale shows well
      const scale = g > 0 && g < 0.1 ? 10 ** (Math.floor(1 - Math.log10(g)) + 1) : 10;
      texts[i] = trim(Math.round(g * scale) / scale, 2) + (oz && g > 0 ? " g" : "");
      return;
    }
    const x = g / unit, p = { i, x, step: step(x, oz), least: x >= 0.5 ? 1 : 0, most: oz ? Infinity : 50, n: 0 };
    sum += x;
    (p.step === 1 ? fine : coarse).push(p);
  });
  const s = step(sum, oz);
  let whole = Math.round(sum / s) * s;
  if (!fit(fine, coarse, whole)) whole = loosen(fine, coarse, sum);
  const text = n => oz ? trim(n / 10, 1) : String(n);
  for (const p of fine.concat(coarse)) texts[p.i] = text(p.n);
  return { texts, whole: text(whole) };
}

const kcalText = k => trim(k >= 100 ? Math.round(k / 5) * 5 : k, 0);
const weightText = (kilos, lb) => lb ? trim(kilos / kilosPerPound, 1) + " lb" : trim(kilos, 1) + " kg";

// day is all that is said for a weight in kg, or why nothing is.
function day(kilos, lb) {
  if (!(kilos >= 1 && kilos <= sums.most)) {
    return { said: "This card is for grown dogs of " + weightText(1, lb) + " to " + weightText(sums.most, lb) + "." };
  }
  if (kilos < sums.least) {
    return { said: "No amounts for a dog under " + weightText(sums.least, lb) + ": the supplements would be far too much for it." };
  }
  const kcal = sums.factor * Math.pow(kilos, 0.75);
  const g = bowl(kcal, false), oz = bowl(kcal, true);
  return {
    said: kcalText(kcal) + " kcal a day, for moderate activity. A single dog may need a quarter less or more: weigh it every week.",
    rows: sums.lines.map((line, i) => [line.name, g.texts[i], oz.texts[i]]).concat([["together", g.whole, oz.whole]]),
    doses: (sums.doses || []).map(d => {
      const x = d.amount * kcal / 1000;
      return d.name + " " + trim(x, x >= 10 ? 0 : x >= 1 ? 1 : 2) + " " + d.unit + ", " + d.rest;
    }),
  };
}

const field = id => document.getElementById(id);
function show() {
  const typed = field("weight").value.trim().replace(",", "."), lb = field("unit").value === "lb";
  const kilos = /^\d+(\.\d*)?$|^\.\d+$/.test(typed) ? Number(typed) * (lb ? kilosPerPound : 1) : NaN;
  const is = typed === "" ? { said: "" } : day(kilos, lb);
  field("said").textContent = is.said;
  field("amounts").hidden = !is.rows;
  field("doses").hidden = !(is.doses && is.doses.length);
  const cell = (tag, text) => Object.assign(document.createElement(tag), { textContent: text });
  field("amounts").tBodies[0].replaceChildren(...(is.rows || []).map((row, i) => {
    const tr = document.createElement("tr");
    const th = cell("th", row[0]);
    th.scope = "row";
    tr.append(th, cell("td", row[1]), cell("td", row[2]));
    if (i === is.rows.length - 1) tr.className = "sum";
    return tr;
  }));
  field("doses").replaceChildren(...(is.doses || []).map(d => cell("li", d)));
}

if (field("weigh")) {
  field("unit").value = sums.pounds ? "lb" : "kg";
  field("weigh").hidden = false;
  field("weigh").addEventListener("submit", e => e.preventDefault());
  field("weight").addEventListener("input", show);
  field("unit").addEventListener("change", show);
}
