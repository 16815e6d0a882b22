// Marks on the curve of a test: dragged, or moved by arrow keys; files that are too large are said
// before they are sent, as a socket loses them without a word.
(function () {
  "use strict";
  const MOST = 9e6, TOGETHER = 30e6;
  let count = 0, moving = null, start = 0, at = 0, focus = "";

  function send(text) {
    const input = document.querySelector(".tc-bus input");
    if (!input) return;
    count += 1;
    const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, "value").set;
    set.call(input, "m" + count + "|" + text);
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }
  function place(handle, x) {
    const svg = handle.ownerSVGElement;
    x = Math.max(Number(svg.dataset.left), Math.min(Number(svg.dataset.right), x));
    const y = handle.transform.baseVal.consolidate().matrix.f;
    handle.setAttribute("transform", "translate(" + x.toFixed(1) + " " + y.toFixed(1) + ")");
    return x;
  }
  function ofSvg(handle, clientX) {
    const svg = handle.ownerSVGElement, box = svg.getBoundingClientRect();
    return (clientX - box.left) * svg.viewBox.baseVal.width / box.width;
  }
  document.addEventListener("pointerdown", function (event) {
    const handle = event.target.closest && event.target.closest(".tc-handle");
    if (!handle) return;
    event.preventDefault();
    moving = handle; start = ofSvg(handle, event.clientX) - Number(handle.dataset.x); at = Number(handle.dataset.x);
    handle.classList.add("moving");
    handle.focus({ preventScroll: true });
    try { handle.setPointerCapture(event.pointerId); } catch (error) { /* a browser without it */ }
  });
  document.addEventListener("pointermove", function (event) {
    if (moving) at = place(moving, ofSvg(moving, event.clientX) - start);
  });
  document.addEventListener("pointerup", function () {
    if (!moving) return;
    const handle = moving;
    moving = null;
    handle.classList.remove("moving");
    if (Math.abs(at - Number(handle.dataset.x)) > 0.4) tell(handle, at);
  });
  document.addEventListener("pointercancel", function () {
    if (moving) { place(moving, Number(moving.dataset.x)); moving.classList.remove("moving"); moving = null; }
  });
  function tell(handle, x) {
    focus = handle.dataset.mark;
    send("mark|" + handle.dataset.mark + "|" + x.toFixed(1));
  }
  document.addEventListener("keydown", function (event) {
    const handle = document.activeElement;
    if (!handle || !handle.matches || !handle.matches(".tc-handle")) return;
    const step = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 }[event.key];
    if (!step) return;
    event.preventDefault();
    tell(handle, place(handle, Number(handle.dataset.x) + step * (event.shiftKey ? 20 : 2)));
  });
  // the focus stays on a mark when the picture is drawn anew
  new MutationObserver(function () {
    if (!focus || (document.activeElement && document.activeElement !== document.body)) return;
    const handle = document.querySelector('.tc-handle[data-mark="' + focus + '"]');
    if (handle) handle.focus({ preventScroll: true });
  }).observe(document.body, { childList: true, subtree: true });
  document.addEventListener("focusin", function (event) {
    if (!event.target.matches(".tc-handle")) focus = "";
  });

  // ---- width of the picture, so that its text keeps its size
  let told = 0, timer = 0, watched = null;
  const sizes = new ResizeObserver(function () {
    clearTimeout(timer);
    timer = setTimeout(function () {
      const w = watched ? Math.round(watched.clientWidth / 10) * 10 : 0;
      if (w > 100 && w !== told) { told = w; send("view|" + w); }
    }, told ? 200 : 0);
  });
  new MutationObserver(function () {
    const stack = document.querySelector(".tc-benstack");
    if (stack && stack !== watched) { watched = stack; sizes.observe(stack); }
  }).observe(document.body, { childList: true, subtree: true });

  // ---- files that are too large; the widget's own input is in no document, so it is met on click
  function weigh(event) {
    const files = Array.from(event.target.files || []);
    const big = files.find((f) => f.size > MOST);
    const all = files.reduce((sum, f) => sum + f.size, 0);
    if (!big && all <= TOGETHER) return;
    event.stopImmediatePropagation();
    send("toobig|" + (big ? big.name.replace(/\|/g, " ") : "All of it together"));
    event.target.value = "";
  }
  const click = HTMLInputElement.prototype.click;
  HTMLInputElement.prototype.click = function () {
    if (this.type === "file" && this.multiple && !this.dataset.weighed && document.querySelector(".tc-uptests")) {
      this.dataset.weighed = "1";
      this.addEventListener("change", weigh, true);
    }
    return click.apply(this, arguments);
  };
})();
