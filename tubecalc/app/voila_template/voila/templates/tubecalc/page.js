// What the page needs beyond its widgets: names under the pointer, keys in the shortlist,
// downloads that start by themselves, the width of the chart, and a word when the kernel is gone.
(function () {
  "use strict";
  let count = 0;
  const tip = document.getElementById("tc-tip");

  function send(text) {
    const input = document.querySelector(".tc-bus input");
    if (!input) return;
    count += 1;
    const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value").set;
    set.call(input, count + "|" + text);
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }

  // ---- the chart: name the nearest point, pick it on click
  let parsedFrom = null, parsed = [], named = null;
  function nearest(event) {
    const layer = document.querySelector(".tc-layer");
    if (!layer) return null;
    const box = layer.getBoundingClientRect();
    if (event.clientX < box.left || event.clientX > box.right ||
        event.clientY < box.top || event.clientY > box.bottom) return null;
    if (parsedFrom !== layer) {
      parsedFrom = layer;
      parsed = JSON.parse(layer.dataset.points || "[]");
    }
    const scale = layer.viewBox.baseVal.width / box.width;
    const x = (event.clientX - box.left) * scale, y = (event.clientY - box.top) * scale;
    const reach = event.pointerType === "touch" ? 26 : 13;
    let best = null, least = reach * reach;
    for (const s of parsed) {
      for (let i = 0; i < s.x.length; i++) {
        const d = (s.x[i] - x) ** 2 + (s.y[i] - y) ** 2;
        if (d < least) { least = d; best = { key: s.k, index: i }; }
      }
    }
    return best;
  }
  function showTip() {
    const said = document.querySelector(".tc-tiptext [data-of]");
    if (!named || !said || said.dataset.of !== named.hit.key + "|" + named.hit.index) return;
    if (tip.textContent !== said.textContent) tip.textContent = said.textContent;
    tip.hidden = false;
    const w = tip.offsetWidth, h = tip.offsetHeight, below = named.y + 18 + h <= innerHeight;
    tip.style.left = Math.max(4, Math.min(named.x + 14, innerWidth - w - 8)) + "px";
    tip.style.top = (below ? named.y + 18 : named.y - h - 12) + "px";
  }
  document.addEventListener("pointermove", function (event) {
    const hit = event.target.closest && event.target.closest(".tc-stack") ? nearest(event) : null;
    const before = named && hit && named.hit.key === hit.key && named.hit.index === hit.index;
    named = hit && { hit: hit, x: event.clientX, y: event.clientY };
    if (!hit) { tip.hidden = true; return; }
    if (!before) { tip.hidden = true; send("hover|" + hit.key + "|" + hit.index); }
    showTip();
  });
  document.addEventListener("pointerleave", function () { tip.hidden = true; });

  // ---- words to copy; a browser that does not let a page copy has them marked for the hand
  document.addEventListener("click", async function (event) {
    const button = event.target.closest && event.target.closest("[data-copy]");
    if (!button) return;
    const words = button.parentElement.querySelector("blockquote");
    let done = false;
    try { await navigator.clipboard.writeText(words.textContent); done = true; } catch (error) {
      const range = document.createRange(), chosen = window.getSelection();
      range.selectNodeContents(words);
      chosen.removeAllRanges();
      chosen.addRange(range);
      try { done = document.execCommand("copy"); } catch (refused) { /* said below */ }
    }
    button.textContent = done ? "copied" : "marked: press Ctrl+C";
    setTimeout(function () { button.textContent = "copy the words"; }, 4000);
  });

  // ---- the shortlist: click, sort, arrow keys; the focus survives the redraw
  let refocus = false;
  document.addEventListener("click", function (event) {
    const t = event.target;
    if (!t.closest) return;
    const sorter = t.closest("[data-sort]");
    if (sorter) { send("sort|" + sorter.dataset.sort); return; }
    const row = t.closest("[data-pick]");
    if (row) { refocus = true; send("pick|" + row.dataset.pick); return; }
    if (t.closest(".tc-stack")) {
      const same = named && Math.abs(named.x - event.clientX) < 2 && Math.abs(named.y - event.clientY) < 2;
      const hit = same ? named.hit : nearest(event);
      if (hit) send("point|" + hit.key + "|" + hit.index);
    }
  });
  document.addEventListener("keydown", function (event) {
    const at = document.activeElement;
    if (!at || !at.matches || !at.matches("[data-pick], .tc-stack, .tc-stack *")) return;
    const rows = Array.from(document.querySelectorAll("[data-pick]"));
    if (!rows.length) return;
    let k = rows.indexOf(at);
    if (k < 0) k = rows.findIndex((r) => r.getAttribute("aria-selected") === "true");
    const step = { ArrowDown: 1, ArrowUp: -1, Home: -1e6, End: 1e6 }[event.key];
    if (step === undefined && event.key !== "Enter" && event.key !== " ") return;
    event.preventDefault();
    const next = rows[Math.max(0, Math.min(rows.length - 1, k + (step || 0)))];
    refocus = at.matches("[data-pick]");
    if (refocus) next.focus();
    send("pick|" + next.dataset.pick);
  });

  // ---- after every redraw
  function settle() {
    showTip();
    const link = document.querySelector("a[data-autodownload]:not([data-done])");
    if (link) { link.dataset.done = "1"; link.click(); }
    if (refocus) {
      const row = document.querySelector('[data-pick][aria-selected="true"]');
      if (row && document.activeElement !== row && !row.contains(document.activeElement)) row.focus({ preventScroll: false });
    }
    for (const field of document.querySelectorAll(".tc-field")) {
      const input = field.querySelector("input, select"), bad = field.classList.contains("tc-bad");
      if (input && (input.getAttribute("aria-invalid") === "true") !== bad) input.setAttribute("aria-invalid", String(bad));
    }
    const stack = document.querySelector(".tc-stack");
    if (stack && !stack.hasAttribute("tabindex")) {
      stack.tabIndex = 0;
      stack.setAttribute("role", "group");
      watch(stack);
    }
    const steps = document.querySelector("[data-pick]") ? "Chart. Arrow keys step through the shortlist." : "Chart.";
    if (stack && stack.getAttribute("aria-label") !== steps) stack.setAttribute("aria-label", steps);
  }
  document.addEventListener("focusin", function (event) {
    if (!event.target.matches("[data-pick]")) refocus = false;
  });
  new MutationObserver(settle).observe(document.body, { childList: true, subtree: true, attributes: true, attributeFilter: ["class"] });

  // ---- width of the chart, so that its text keeps its size
  let told = 0, timer = 0;
  function watch(stack) {
    new ResizeObserver(function () {
      clearTimeout(timer);
      timer = setTimeout(function () {
        const w = Math.round(stack.clientWidth / 10) * 10;
        if (w > 100 && w !== told) { told = w; send("view|" + w); }
      }, told ? 150 : 0);
    }).observe(stack);
  }

  // ---- a kernel that is gone looks alive: say so
  const config = JSON.parse(document.getElementById("jupyter-config-data").textContent);
  const banner = document.getElementById("tc-banner");
  async function alive() {
    try {
      const answer = await fetch(config.baseUrl + "api/kernels/" + config.kernelId, { cache: "no-store" });
      if (answer.ok && !window.tcDeaf) { banner.hidden = true; return; }
    } catch (error) { /* the server itself is gone: say so too */ }
    banner.innerHTML = 'The page has lost its calculator: figures no longer follow the controls. What you entered is kept in this browser. <a href="">Load it again</a>';
    banner.hidden = false;
  }
  setInterval(alive, 10000);
})();
