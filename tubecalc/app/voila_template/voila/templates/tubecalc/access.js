// What keyboards and screen readers need beyond the widgets: the main part, names and units of
// sliders, which switch is on, which message belongs to which field, and the answer read out.
(function () {
  "use strict";
  const live = document.getElementById("tc-live");
  const UNIT = /, (mm|cm|m|in|ft|%|°)$/;

  function give(element, name, value) {
    if (element.getAttribute(name) !== value) element.setAttribute(name, value);
  }
  function text(element) { return element ? element.textContent.replace(/\s+/g, " ").trim() : ""; }
  function seen(element) { return element.getClientRects().length > 0; }

  // ---- one main part; the link before it leads there
  function main() {
    const page = document.querySelector(".tc-page");
    if (!page || page.id) return;
    page.id = "tc-page";
    page.tabIndex = -1;
    page.setAttribute("role", "main");
  }
  document.addEventListener("click", function (event) {
    const skip = event.target.closest && event.target.closest(".tc-skip");
    const page = document.getElementById("tc-page");
    if (!skip || !page) return;
    event.preventDefault();
    page.focus();
  });

  // ---- handles of sliders: "Outside diameter, from" is "10.5 mm"
  function sliders() {
    for (const slider of document.querySelectorAll(".tc .widget-slider")) {
      const label = text(slider.querySelector(".widget-label"));
      const unit = (UNIT.exec(label) || ["", ""])[1], name = label.replace(UNIT, "");
      const handles = slider.querySelectorAll('[role="slider"]');
      handles.forEach(function (handle, n) {
        give(handle, "aria-label", handles.length > 1 ? name + (n ? ", to" : ", from") : name);
        const value = parseFloat(handle.getAttribute("aria-valuetext"));
        if (!isFinite(value)) return;
        const shown = String(Number(value.toPrecision(5)));
        give(handle, "aria-valuenow", shown);
        give(handle, "aria-valuetext", (shown + " " + unit).trim());
      });
    }
  }

  // ---- switches say whether they are on, groups say what they are of, files how many are open: no
  function switches() {
    for (const one of document.querySelectorAll(".tc .widget-toggle-button")) {
      give(one, "aria-pressed", String(one.classList.contains("mod-active")));
    }
    for (const one of document.querySelectorAll(".tc .widget-upload")) {
      give(one, "aria-label", text(one).replace(/ \(\d+\)$/, ""));
    }
    for (const one of document.querySelectorAll(".tc button[title]")) {  // a mere sign is no name
      if (!/[\p{L}\p{N}]/u.test(text(one))) give(one, "aria-label", one.title);
    }
    for (const one of document.querySelectorAll(".tc .tc-group")) {
      const name = text(one.querySelector("h2"));
      if (name) { give(one, "role", "group"); give(one, "aria-label", name); }
    }
    for (const one of document.querySelectorAll('.tc [title="null"]')) one.removeAttribute("title");
    for (const one of document.querySelectorAll(".tc .tc-bus")) give(one, "aria-hidden", "true");
    for (const one of document.querySelectorAll(".tc .tc-bus input")) give(one, "tabindex", "-1");
  }

  // ---- a table, and the box it scrolls in, are named by the heading above them
  function tables() {
    const bare = ':is(table, [role="group"].tc-wide):is(:not([aria-label]), [aria-label="table"])';
    for (const one of document.querySelectorAll(".tc-page " + bare)) {
      const room = one.closest(".widget-html-content");
      const before = Array.from(room ? room.querySelectorAll("h2, h3, summary") : []).filter(
        (h) => h.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING);
      const name = text(before.pop());
      if (name || !one.matches("table")) give(one, "aria-label", name || "table");
    }
  }

  // ---- a field points to its message while there is one
  let count = 0;
  function fields() {
    for (const field of document.querySelectorAll(".tc .tc-field")) {
      const input = field.querySelector("input, select, textarea");
      const said = field.querySelector(":scope > .widget-html");
      if (!input || !said) continue;
      if (field.classList.contains("tc-bad")) {
        if (!said.id) { count += 1; said.id = "tc-said-" + count; }
        give(input, "aria-describedby", said.id);
      } else if (input.hasAttribute("aria-describedby")) input.removeAttribute("aria-describedby");
    }
  }

  // ---- the answer is read out once it stands still
  const TOLD = ".tc-verdict, .tc-status, .tc-outsaid, .tc-stale-note, .tc-bad > .widget-html";
  let known = null, timer = 0;
  function answers() {
    const all = Array.from(document.querySelectorAll(TOLD)).filter(seen).map(text);
    return Array.from(new Set(all)).filter(Boolean);
  }
  function settled() {
    const now = answers();
    if (known) {
      const fresh = now.filter((t) => !known.includes(t)).join(" ");
      if (fresh) live.textContent = fresh;
    }
    known = now;
  }
  function read() {
    if (!document.querySelector(".tc-page")) return;
    clearTimeout(timer);
    timer = setTimeout(settled, known ? 800 : 1500);
  }

  let asked = false;
  function settle() {
    if (asked) return;
    asked = true;
    requestAnimationFrame(function () {
      asked = false;
      main(); sliders(); switches(); tables(); fields();
    });
  }
  const WATCHED = ["class", "aria-valuetext", "title"];
  new MutationObserver(function (changes) {
    if (changes.every((c) => c.target === live)) return;
    settle();
    if (changes.some((c) => c.type !== "attributes" || c.attributeName === "class")) read();
  }).observe(document.body, { childList: true, subtree: true, characterData: true, attributes: true, attributeFilter: WATCHED });
})();
