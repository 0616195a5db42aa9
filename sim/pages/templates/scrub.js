(function () {
  "use strict";
  var data = JSON.parse(document.getElementById("frames").textContent);
  var live = document.getElementById("live");
  if (!data.t.length || !live) { return; }
  var slider = document.getElementById("scrub");
  var clock = document.getElementById("scrub-clock");
  var cursor = document.getElementById("cursor");
  var hull = live.querySelector(".live-hull");
  var others = live.querySelectorAll(".live-other");
  var chains = live.querySelectorAll(".live-chain");
  var side = ["side-casing", "side-chain"].map(function (id) { return document.getElementById(id); });
  var bed = document.getElementById("side-bed");
  var anchor = document.getElementById("side-anchor");
  var remark = document.getElementById("remark");
  var remarks = document.querySelectorAll("[data-remark]");
  var shown = document.querySelectorAll("[data-read]");

  function pose(what, p) { what.setAttribute("transform", "translate(" + p[0] + " " + p[1] + ") rotate(" + p[2] + ")"); }
  function points(flat) {
    var out = [];
    for (var k = 0; k + 1 < flat.length; k += 2) { out.push(flat[k] + "," + flat[k + 1]); }
    return out.join(" ");
  }
  function ground(heights) {
    var wide = 960, step = wide / (heights.length - 1);
    var d = heights.map(function (y, k) { return (k ? "L" : "M") + (k * step).toFixed(0) + " " + y; }).join("");
    return d + "L" + wide + " 2000L0 2000Z";
  }
  function show(k) {
    var t = data.t[k];
    clock.textContent = Math.floor(t / 60) + ":" + ("0" + t % 60).slice(-2);
    slider.setAttribute("aria-valuetext", clock.textContent);
    pose(hull, data.hull[k]);
    others.forEach(function (other, j) { if (data.others[k][j]) { pose(other, data.others[k][j]); } });
    chains.forEach(function (c) { c.setAttribute("points", points(data.chain[k])); });
    side.forEach(function (c) { c.setAttribute("points", points(data.side[k])); });
    anchor.setAttribute("cx", data.side[k].length ? data.side[k][0] : -20);
    anchor.setAttribute("cy", data.side[k].length ? data.side[k][1] : -20);
    bed.setAttribute("d", ground(data.bed[k]));
    cursor.setAttribute("x1", data.x[k]);
    cursor.setAttribute("x2", data.x[k]);
    live.setAttribute("visibility", "visible");
    cursor.setAttribute("visibility", "visible");
    if (remark) { // the latest one up to this time, for a while
      remark.textContent = "";
      remarks.forEach(function (r) {
        if (+r.dataset.remark < t + 1 && t - r.dataset.remark < 30) { remark.textContent = r.textContent; }
      });
    }
    shown.forEach(function (cell) {
      var value = data.read[k][+cell.dataset.read];
      cell.textContent = value === null ? "–" : value.toFixed(1).replace("-", "−");
    });
  }
  slider.max = data.t.length - 1;
  slider.value = data.start;
  slider.addEventListener("input", function () { show(+slider.value); });
  document.querySelectorAll("[data-t]").forEach(function (jump) {
    jump.addEventListener("click", function () {
      var k = data.t.findIndex(function (t) { return t >= +jump.dataset.t; });
      slider.value = k < 0 ? data.t.length - 1 : k;
      show(+slider.value);
      slider.scrollIntoView({ block: "nearest" });
    });
  });
  document.body.classList.add("scrubbing");
  show(+slider.value);
})();
