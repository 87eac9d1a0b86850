"use strict";
(() => {
  const facts = JSON.parse(document.getElementById("facts").textContent);
  const place = ["synclint sheet", facts.setup, facts.revision, facts.digest].join("|");
  const fields = [...document.querySelectorAll("[data-keep]")];
  const lines = [...document.querySelectorAll("li.line")];
  const kept = document.getElementById("kept");

  // --- what is kept on the device ---

  let store = null;
  let old = {};
  try {
    store = window.localStorage;
    store.setItem(place + "|trial", "1");
    store.removeItem(place + "|trial");
  } catch {
    store = null;
  }
  try {
    const read = store && JSON.parse(store.getItem(place));
    if (read && typeof read === "object") old = read;
  } catch {
    old = {};
  }

  const begun = new Map(fields.map((field) => [field, value(field)]));

  function value(field) {
    return field.type === "checkbox" ? field.checked : field.value;
  }

  function restore() {
    for (const field of fields) {
      const was = old[field.dataset.keep];
      if (typeof was !== typeof begun.get(field)) continue;
      if (field.type === "checkbox") field.checked = was;
      else if (field.tagName !== "SELECT" || [...field.options].some((each) => each.value === was)) field.value = was;
    }
  }

  function keep() {
    const now = {};
    for (const field of fields) if (value(field) !== begun.get(field)) now[field.dataset.keep] = value(field);
    try {
      if (store) store.setItem(place, JSON.stringify(now));
    } catch {
      store = null;
      tellKept();
    }
  }

  function tellKept() {
    kept.textContent = store
      ? "Ticks and offsets are kept on this device, for this revision of the sheet alone. Take the log out before the day is over."
      : "Ticks and offsets are not kept: this browser stores nothing for this page, and they are lost when it is closed. Take the log out before, or write on paper.";
  }

  // --- a line ---

  function field(line, what) {
    return line.querySelector('[data-keep="' + line.dataset.id + (what ? "-" + what : "") + '"]');
  }

  function about(line) {
    const device = field(line, "device");
    const told = device ? device.selectedOptions[0].dataset : line.dataset;
    const day = field(line, "day");
    return {
      key: told.key,
      against: told.against,
      name: told.name,
      other: told.other,
      on: Number(day ? day.value : line.dataset.on || 0),
    };
  }

  function reading(line) {
    const text = field(line, "offset").value.trim().replace(",", ".").replace("\u2212", "-");
    const [unit, side] = field(line, "unit").value.split(" ");
    const number = /^[+-]?(\d{1,6}(?:\.\d{1,6})?|\d{1,4}\/[1-9]\d{0,3})$/.exec(text);
    if (!number || (number[1].includes("/") && unit === "ms")) return { empty: text === "", wrong: text !== "" };
    const [upper, lower] = number[1].split("/").map(Number);
    const size = upper / (lower || 1);
    const behind = (side === "behind") !== text.startsWith("-");
    const each = unit === "ms" ? 1 : facts.frame;
    const signed = size === 0 ? 0 : behind ? -size : size;
    return {
      written: (signed < 0 ? "-" : "+") + number[1] + " " + unit,
      said: number[1] + " " + unit + (signed < 0 ? " behind " : " ahead of "),
      ms: each === null ? null : signed * each,
    };
  }

  function judge(line) {
    const told = line.querySelector(".warn");
    const found = reading(line);
    const who = about(line);
    let says = "";
    if (found.wrong) {
      says = "This is no offset: write a number such as 3 or 1.5, or 1/2 of frames.";
    } else if (!found.empty && !who.key) {
      says = "Say of which device.";
    } else if (beyond(found.ms)) {
      says =
        who.name + " is " + found.said + who.other + ": more than the tolerance of " + facts.tolerance_said +
        ". Jam it again before the next take, and tell post since when.";
    }
    say(told, says);
    line.classList.toggle("out", says !== "");
    const tick = field(line, "");
    line.classList.toggle("ticked", Boolean(tick && tick.checked));
    line.classList.toggle("read", !found.empty);
    for (const clock of line.querySelectorAll("input[type=time]")) clock.classList.toggle("told", clock.value !== "");
    spread(line.closest(".round"));
  }

  function beyond(ms) {
    return ms !== null && ms !== undefined && facts.tolerance !== null && Math.abs(ms) > facts.tolerance + 1e-9;
  }

  // Two that are each within the tolerance of a third may be farther than that from each other.
  function spread(round) {
    const read = [...round.querySelectorAll("li.line:not(.free)")]
      .map((line) => ({ ...about(line), ms: reading(line).ms }))
      .filter((each) => typeof each.ms === "number" && !beyond(each.ms));
    let worst = null;
    for (const one of read) {
      for (const other of read) {
        const apart = one.ms - other.ms;
        if (one.against === other.against && beyond(apart) && apart > (worst ? worst.apart : 0)) worst = { one, other, apart };
      }
    }
    const says = worst
      ? worst.one.name + " and " + worst.other.name + " are " + Math.round(worst.apart * 10) / 10 +
        " ms apart: more than the tolerance of " + facts.tolerance_said + ". Jam both again before they roll together."
      : "";
    say(round.querySelector(".spread"), says);
  }

  function say(place, says) {
    if (place.textContent !== says) place.textContent = says;
  }

  // --- the clock of the day ---

  function now(on) {
    const moment = new Date();
    const form = { hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23" };
    const zone = facts.days[on] && facts.days[on].zone;
    try {
      return moment.toLocaleTimeString("en-GB", zone ? { ...form, timeZone: zone } : form);
    } catch {
      return moment.toLocaleTimeString("en-GB", form);
    }
  }

  function clock(text, on) {
    const [hours, minutes, seconds] = text.split(":").map(Number);
    const day = facts.days[on];
    const at = hours * 3600 + minutes * 60 + (seconds || 0);
    // What is earlier than two hours before the call was after midnight.
    const late = Boolean(day && at < day.call - 7200);
    return { order: on * 1e6 + at + (late ? 86400 : 0), says: text.slice(0, 8) + (late ? " +1" : "") };
  }

  // --- the log ---

  function quoted(text) {
    return JSON.stringify(text).replace(/[\u007f-\uffff]/g, (each) =>
      /[\p{L}\p{N}\p{P}\p{S}]/u.test(each) ? each : "\\u" + each.charCodeAt(0).toString(16).padStart(4, "0"));
  }

  function key(text) {
    return /^[a-z][a-z0-9_]*$/.test(text) && !/^(y|n|yes|no|on|off|true|false|null)$/.test(text) ? text : quoted(text);
  }

  function entries() {
    const found = [];
    const left = [];
    for (const line of lines) {
      const who = about(line);
      const tick = field(line, "");
      const offset = reading(line);
      if (!who.key && !(tick && tick.checked) && offset.empty) continue;
      const named = who.name || "a line that is not planned";
      const day = facts.days[who.on];
      const start = (day && day.date ? "date: " + day.date + ", " : "") + "at: ";
      const undated = facts.days.length > 1 && !(day && day.date);
      const of = ", of: [" + key(who.key || "") + "]";
      const add = (what, time, does, rest, rank) => {
        if (!who.key) left.push(named + ", " + what + ": no device");
        else if (undated) left.push(named + ", " + what + ": its day has no date in the setup");
        else if (!time) left.push(named + ", " + what + ": no time");
        else {
          const at = clock(time, who.on);
          found.push({ order: at.order + rank, says: "  - {" + start + at.says + ", do: " + does + of + rest + "}\n" });
        }
      };
      if (offset.wrong) left.push(named + ", offset: not a number");
      else if (!offset.empty) {
        const by = document.querySelector('[data-keep="' + line.closest(".round").dataset.readBy + '"]').value;
        const rest = ", against: " + key(who.against || "") + ", offset: " + offset.written + ", read_by: " + by;
        add("offset", field(line, "read").value, "compare", rest, 0);
      }
      if (tick && tick.checked) add("jam", field(line, "at").value, "jam", ", from: " + key(who.against || ""), 0.5);
    }
    found.sort((one, other) => one.order - other.order);
    return { found: found.map((each) => each.says), left };
  }

  function log(found) {
    const by = fields.find((each) => each.dataset.keep === "by").value.trim();
    return (
      "synclint: log/1\n" + (facts.setup ? "setup: " + quoted(facts.setup) + "\n" : "") + (by ? "by: " + quoted(by) + "\n" : "") +
      "note: " + quoted("from the sync sheet, revision " + facts.revision + ", digest " + facts.digest) +
      "\nentries:\n" + found.join("")
    );
  }

  function take() {
    const { found, left } = entries();
    const missing = left.length ? " Left out: " + left.join("; ") + "." : "";
    document.getElementById("copy").hidden = found.length === 0;
    if (found.length === 0) {
      say(document.getElementById("taken"), "No log is made: no jam is ticked and no offset is written with its time." + missing);
      return;
    }
    const text = log(found);
    const file = (facts.setup.replace(/(\.setup)?\.ya?ml$/i, "") || "day") + ".log.yaml";
    document.getElementById("text").value = text;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "text/yaml" }));
    link.download = file;
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    const count = found.length === 1 ? "1 entry" : found.length + " entries";
    say(document.getElementById("taken"), count + " in " + file + "." + missing);
  }

  // --- what a hand does ---

  function stamp(line, what, wanted) {
    const time = field(line, what);
    if (!wanted) time.value = "";
    else if (!time.value) time.value = now(about(line).on);
  }

  for (const line of lines) {
    const tick = field(line, "");
    if (tick) tick.addEventListener("change", () => stamp(line, "at", tick.checked));
    field(line, "offset").addEventListener("input", (event) => stamp(line, "read", event.target.value.trim() !== ""));
    for (const kind of ["input", "change"]) line.addEventListener(kind, () => judge(line));
  }
  for (const kind of ["input", "change"]) document.addEventListener(kind, keep);
  document.getElementById("take").addEventListener("click", take);

  restore();
  lines.forEach(judge);
  document.getElementById("log").hidden = lines.length === 0;
  tellKept();
})();
