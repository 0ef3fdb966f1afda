// What a page author would put together from general-purpose libraries: a parser, a regression, a chart. It parses the
// table, fits the line, says the flux density and draws points and line, on a paste or on a change of the text; there are
// no uncertainties, no findings, no notes, no grid and no sheet.
(function () {
  "use strict";

  const LENGTH = 0.05;
  const GRAVITY = 9.81;
  const frame = document.getElementById("frame");
  let chart = null;

  function read(text) {
    const rows = Papa.parse(text, { skipEmptyLines: true, dynamicTyping: true }).data;
    return rows.slice(1).filter((row) => Number.isFinite(row[0]) && Number.isFinite(row[1]));
  }

  function show(text) {
    const points = read(text);
    const line = ss.linearRegression(points);
    const at = ss.linearRegressionLine(line);
    const fit = ss.rSquared(points, at);
    const fluxDensity = (line.m * 1e-3 * GRAVITY) / LENGTH;
    document.getElementById("answer").textContent =
      `${(fluxDensity * 1e3).toFixed(1)} mT from ${points.length} points, r² ${fit.toFixed(5)}`;
    draw(points, at);
  }

  function drawByChart(points, at) {
    const last = points[points.length - 1][0];
    const data = {
      datasets: [
        { type: "scatter", data: points.map(([x, y]) => ({ x, y })) },
        { type: "line", data: [{ x: 0, y: at(0) }, { x: last, y: at(last) }], pointRadius: 0 },
      ],
    };
    if (chart) {
      chart.data = data;
      chart.update("none");
      return;
    }
    const canvas = document.createElement("canvas");
    frame.appendChild(canvas);
    const axis = (text) => ({ type: "linear", title: { display: true, text } });
    chart = new Chart(canvas, {
      data,
      options: { animation: false, maintainAspectRatio: false, scales: { x: axis("I / A"), y: axis("m / g") } },
    });
  }

  function drawByPlot(points, at) {
    const xs = points.map(([x]) => x);
    const data = [xs, points.map(([, y]) => y), xs.map(at)];
    if (chart) {
      chart.setData(data);
      return;
    }
    chart = new uPlot({
      width: 600,
      height: 360,
      scales: { x: { time: false } },
      axes: [{ label: "I / A" }, { label: "m / g" }],
      series: [{}, { paths: () => null, points: { show: true } }, { stroke: "black" }],
    }, data, frame);
  }

  const draw = typeof Chart === "function" ? drawByChart : drawByPlot;

  document.addEventListener("paste", (event) => {
    event.preventDefault();
    const text = event.clipboardData.getData("text/plain");
    document.getElementById("box").value = text;
    show(text);
  });
  document.getElementById("box").addEventListener("input", (event) => show(event.target.value));
  show("I / A\tm / g\n0.5\t0.08\n1.0\t0.17\n1.5\t0.25\n2.0\t0.34\n2.5\t0.43\n3.0\t0.51\n");
})();
