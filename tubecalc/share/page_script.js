(function () {
  "use strict";
  var tools = document.getElementById("tools");
  var said = document.getElementById("said");
  var first = document.documentElement.getAttribute("data-units");

  // Units: texts carry their other forms, pictures lie ready in templates.
  var places = Array.from(document.querySelectorAll("[data-picture]"));
  places.forEach(function (place) { place.own = Array.from(place.childNodes); });
  function units(key) {
    var name = "data-" + key.toLowerCase();
    document.querySelectorAll("[data-si],[data-workshop],[data-inch]").forEach(function (e) {
      if (e.own === undefined) { e.own = e.textContent; }
      e.textContent = key !== first && e.hasAttribute(name) ? e.getAttribute(name) : e.own;
    });
    places.forEach(function (place) {
      var other = document.getElementById(place.getAttribute("data-picture") + "-" + key);
      place.replaceChildren.apply(place, other ? [other.content.cloneNode(true)] : place.own);
    });
  }
  tools.querySelectorAll("input").forEach(function (one) {
    one.checked = one.value === first;
    one.addEventListener("change", function () {
      units(one.value);
      said.textContent = "Units: " + one.parentNode.textContent.trim() + ".";
    });
  });
  tools.hidden = false;

  // Columns sort by the numbers behind the texts.
  var body = document.querySelector("#tubes tbody");
  var heads = Array.from(document.querySelectorAll("#tubes th[data-sorts]"));
  function order(head) {
    var falls = head.getAttribute("aria-sort") === "ascending";
    var numbers = head.getAttribute("data-sorts") === "number";
    var at = head.cellIndex;
    var rows = Array.from(body.rows).sort(function (a, b) {
      var x = a.cells[at].getAttribute("data-v"), y = b.cells[at].getAttribute("data-v");
      if (!numbers) { return falls ? y.localeCompare(x) : x.localeCompare(y); }
      if (x === "" || y === "") { return (x === "") - (y === ""); }
      return falls ? y - x : x - y;
    });
    body.append.apply(body, rows);
    heads.forEach(function (other) { other.removeAttribute("aria-sort"); });
    head.setAttribute("aria-sort", falls ? "descending" : "ascending");
    said.textContent = "Sorted by " + head.textContent + (falls ? ", falling." : ", rising.");
  }
  heads.forEach(function (head) {
    var button = document.createElement("button");
    button.type = "button";
    button.append.apply(button, Array.from(head.childNodes));
    button.addEventListener("click", function () { order(head); });
    head.append(button);
  });
}());
