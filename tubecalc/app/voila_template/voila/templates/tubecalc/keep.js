// Keeps the job of this tab in the browser's own storage, so that a page loaded again, another page
// or a dead calculator loses nothing: the job as the page last told it (.tc-keep), and what was
// typed since and not yet answered. Nothing leaves this machine but to the page's own calculator.
(function () {
  "use strict";
  const TAB = "tubecalc:job", KEPT = "tubecalc:kept", TYPED = "tubecalc:typed:", MOST = 5;
  // wait: the page is not there; asked: the kept job was sent; typing: what was typed is put back;
  // on: keeping; gone: left on purpose
  let phase = "wait";
  let wanted = 0, sent = 0, count = "", base = null, offered = null, timer = 0, told = false;

  // ---- storage, which a browser may refuse
  function open(kind) { try { return window[kind]; } catch (error) { return null; } }
  const tab = open("sessionStorage"), shelf = open("localStorage");
  function read(store, key) { try { return JSON.parse(store.getItem(key)); } catch (error) { return null; } }
  function write(store, key, value) {
    try { store.setItem(key, JSON.stringify(value)); return true; } catch (error) { return false; }
  }
  function drop(store, key) { try { store.removeItem(key); } catch (error) { /* nothing was kept */ } }
  function kept() {
    const list = read(shelf, KEPT);
    return Array.isArray(list) ? list.filter((e) => e && typeof e.text === "string" && e.text) : [];
  }
  function shelve() {
    clearTimeout(timer); timer = 0;
    const entry = read(tab, TAB);
    if (!entry || !entry.mine) return;
    let list = [entry, ...kept().filter((e) => e.tab !== entry.tab)].slice(0, MOST);
    while (list.length && !write(shelf, KEPT, list)) list = list.slice(0, -1);
  }
  function own(entry) { return entry && typeof entry === "object" && typeof entry.text === "string" ? entry : null; }
  function clock(t) {
    const d = new Date(t), two = (n) => String(n).padStart(2, "0");
    const day = d.getFullYear() + "-" + two(d.getMonth() + 1) + "-" + two(d.getDate());
    const time = two(d.getHours()) + ":" + two(d.getMinutes());
    return d.toDateString() === new Date().toDateString() ? time : day + " " + time;
  }
  function query() {
    const parts = new URLSearchParams(location.search);
    parts.delete("token");
    return parts.toString();
  }

  // ---- to the calculator
  function put(input, value) {
    const kind = input.tagName === "TEXTAREA" ? HTMLTextAreaElement : HTMLInputElement;
    Object.getOwnPropertyDescriptor(kind.prototype, "value").set.call(input, value);
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }
  function send(kind, words, text) {
    const box = document.querySelector(".tc-inbox textarea");
    if (!box) return;
    sent += 1;
    const message = sent + "|" + kind + "|" + (words || "") + "\n" + (text || "");
    put(box, message);
    insist(message, 40);
  }
  // A widget that is still being drawn forgets what was put into it. The same text twice is told once.
  function insist(message, tries) {
    setTimeout(function () {
      const box = document.querySelector(".tc-inbox textarea");
      if (!box || Number(message.split("|")[0]) !== sent) return;
      if (box.value !== message || phase === "asked") { put(box, message); if (tries) insist(message, tries - 1); }
    }, 700);
  }
  function again(entry, k) {
    phase = "asked"; wanted = Number(k.taken) + 1;
    if (entry.page && entry.page !== k.page) send("carry", entry.page, entry.text);
    else send("again", clock(entry.t), entry.text);
  }

  // ---- the job as the page tells it
  function look() {
    const el = document.querySelector(".tc-keep");
    if (!el || el.dataset.count === count || !document.querySelector(".tc-inbox textarea")) return;
    count = el.dataset.count;
    const k = el.dataset, first = phase === "wait";
    if (first) begin(k);
    if (phase === "asked") {
      if (Number(k.taken) < wanted) return;
      phase = "typing"; base = null;
      setTimeout(replay, 400, k.page, 4);
    } else if (phase === "on" && k.hold !== "1") {
      answered(k.page);
    }
    keep(el.textContent, k);
  }
  function begin(k) {
    const entry = own(read(tab, TAB)), here = query();
    const used = entry && entry.links && entry.links[k.page] === here;
    if (entry && entry.text && (k.link !== "1" || used)) {
      if (entry.mine || entry.page !== k.page) { again(entry, k); return; }
      phase = "typing";  // the page begins with it anyway
      setTimeout(replay, 400, k.page, 4);
      return;
    }
    phase = "on";
    drop(tab, TYPED + k.page);
    if (k.link === "1") { shelve(); drop(tab, TAB); }
    offered = k.link !== "1" && !entry ? kept()[0] : null;
    if (offered) send("offer", '"' + (offered.title || "own need") + '", ' + clock(offered.t));
  }
  function keep(text, k) {
    if (phase !== "on" && phase !== "typing") return;
    const entry = own(read(tab, TAB)) || { tab: Math.random().toString(36).slice(2), t: Date.now(), text: "", links: {} };
    if (base === null) base = text;
    if (k.link === "1") entry.links = Object.assign({}, entry.links, { [k.page]: query() });
    if (text !== entry.text) entry.t = Date.now();
    entry.mine = Boolean(entry.mine || text !== base);
    entry.text = text; entry.title = k.title; entry.page = k.page;
    if (!write(tab, TAB, entry)) {
      if (!told) { told = true; send("blocked"); }
      return;
    }
    if (entry.mine && !timer) timer = setTimeout(shelve, 500);
  }
  window.addEventListener("pagehide", shelve);

  // ---- what was typed and not yet answered
  const FIELDS = ".tc input[type=text], .tc input[type=number], .tc textarea, .tc select, .tc input[type=checkbox], .tc button.widget-toggle-button";
  const OURS = ".tc-bus, .tc-inbox";
  function nameOf(field) {
    const label = field.labels && field.labels[0] ? field.labels[0].textContent : "";
    return (label || field.getAttribute("aria-label") || field.textContent || field.title).trim();
  }
  function fields() {
    const seen = {};
    return Array.from(document.querySelectorAll(FIELDS)).filter((f) => !f.closest(OURS)).map(function (f) {
      const name = nameOf(f);
      seen[name] = (seen[name] || 0) + 1;
      return { field: f, key: name + "#" + seen[name] };
    });
  }
  function valueOf(f) {
    if (f.type === "checkbox") return f.checked;
    if (f.tagName === "BUTTON") return f.classList.contains("mod-active");
    if (f.tagName === "SELECT") return f.selectedOptions[0] ? f.selectedOptions[0].textContent : "";
    return f.value;
  }
  function typed(field, value) {
    const el = document.querySelector(".tc-keep"), at = fields().find((x) => x.field === field);
    if (!el || !at) return;
    const all = read(tab, TYPED + el.dataset.page) || {};
    all[at.key] = { v: value === undefined ? valueOf(field) : value, t: Date.now() };
    write(tab, TYPED + el.dataset.page, all);
  }
  function answered(page) {
    const all = read(tab, TYPED + page);
    if (!all) return;
    const late = Object.entries(all).filter(([, e]) => e.t > Date.now() - 250);
    if (late.length) write(tab, TYPED + page, Object.fromEntries(late));
    else drop(tab, TYPED + page);
  }
  function replay(page, tries) {
    const all = read(tab, TYPED + page) || {}, here = fields();
    let missing = false;
    for (const [key, e] of Object.entries(all)) {
      const at = here.find((x) => x.key === key);
      if (!at) { missing = true; continue; }
      const f = at.field;
      if (valueOf(f) === e.v) continue;
      if (f.tagName === "SELECT") {
        const k = Array.from(f.options).findIndex((o) => o.textContent === e.v);
        if (k >= 0) { f.selectedIndex = k; f.dispatchEvent(new Event("change", { bubbles: true })); }
      } else if (f.type === "checkbox" || f.tagName === "BUTTON") f.click();
      else put(f, String(e.v));
    }
    if (missing && tries > 1) setTimeout(replay, 600, page, tries - 1);
    else phase = "on";
  }
  for (const kind of ["input", "change"]) {
    document.addEventListener(kind, function (event) {
      if (event.target.matches && event.target.matches(FIELDS) && !event.target.closest(OURS)) typed(event.target);
    }, true);
  }
  document.addEventListener("click", function (event) {
    const button = event.target.closest && event.target.closest(".tc button.widget-toggle-button");
    if (button) setTimeout(typed, 0, button);
  });
  for (const kind of ["pointerup", "keyup"]) {
    document.addEventListener(kind, function () {  // a slider: its ends are typed beside it
      const handle = document.activeElement;
      if (!handle || !handle.matches(".noUi-handle")) return;
      const group = handle.closest(".tc-group");
      const ends = group ? group.querySelectorAll(".tc-ends input") : [];
      const k = Array.from(group ? group.querySelectorAll(".noUi-handle") : []).indexOf(handle);
      const number = parseFloat(handle.getAttribute("aria-valuetext"));
      if (ends[k] && isFinite(number)) typed(ends[k], number + " " + ends[k].value.split(" ").pop());
    });
  }

  // ---- a calculator that does not answer what was typed
  let asked = 0, before = "";
  const config = JSON.parse(document.getElementById("jupyter-config-data").textContent);
  async function listen() {
    const el = document.querySelector(".tc-keep");
    const all = el && phase === "on" ? read(tab, TYPED + el.dataset.page) || {} : {};
    const oldest = Math.min(...Object.values(all).map((e) => e.t));
    if (!isFinite(oldest) || el.dataset.hold === "1" || Date.now() - oldest < 8000) { asked = 0; return; }
    if (!asked) { asked = Date.now(); before = el.dataset.count; send("ping"); return; }
    if (el.dataset.count !== before) { asked = 0; return; }
    if (Date.now() - asked < 12000) return;
    try {
      const answer = await fetch(config.baseUrl + "api/kernels/" + config.kernelId, { cache: "no-store" });
      if (answer.ok && (await answer.json()).execution_state === "busy") return;
    } catch (error) { /* the server is gone: page.js says so */ }
    window.tcDeaf = true;
  }
  setInterval(listen, 4000);

  // ---- buttons beside the note
  document.addEventListener("click", function (event) {
    const button = event.target.closest && event.target.closest("[data-keep]");
    const el = document.querySelector(".tc-keep");
    if (!button || !el) return;
    const what = button.dataset.keep;
    if (what === "take" && offered) {
      write(tab, TAB, offered);
      again(Object.assign({}, offered, { page: "" }), el.dataset);
    } else if (what === "forget") {
      drop(shelf, KEPT);
      button.parentElement.textContent = "Forgotten.";
    } else if (what === "afresh") {
      shelve();
      drop(tab, TAB);
      drop(tab, TYPED + el.dataset.page);
      phase = "gone";
      const token = new URLSearchParams(location.search).get("token");
      location.href = location.pathname + (token ? "?token=" + encodeURIComponent(token) : "");
    }
  });

  new MutationObserver(look).observe(document.body, { childList: true, subtree: true });
  setInterval(look, 400);  // a page that was drawn before it was put into the document
})();
