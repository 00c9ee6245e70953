// The page's own script: chooses units and shade, and puts a picture that reads out in the place of each still one when
// it comes into view.
// The pictures are data in the element "charts"; src/report/charts/figure.ts says what is in them.
(() => {
  const root = document.documentElement;
  const charts = JSON.parse(document.getElementById('charts').textContent);
  const plots = [...document.querySelectorAll('.plot')];
  const drawn = new Set();
  const near = new Set();
  const prefersDark = matchMedia('(prefers-color-scheme: dark)');
  // A4 with 15 mm margins is 680 px wide, Letter is wider; two pictures stand side by side.
  const PAPER_WIDTH_PX = 670;
  const PAPER_GAP_PX = 20;
  // Three rows of pictures to a page.
  const PAPER_HEIGHT_SHARE = 0.7;
  const NARROW_PX = 520;
  // Panels below one another share the room of one title and legend.
  const STACKED_SHARE = 0.8;
  let onPaper = false;
  // Words and still pictures come first: the plotting library is read when the page has been shown and nothing else is
  // to be done.
  requestIdleCallback(() => {
    loadPlotly();
    drawNext();
  });

  chooseShade();
  for (const input of document.querySelectorAll('.choices input')) {
    input.checked = input.defaultChecked;
    input.addEventListener('change', () => {
      root.dataset[input.name.replace(/-(\w)/, (_, letter) => letter.toUpperCase())] = input.value;
      chooseShade();
      if (input.name !== 'wire-unit') redraw();
    });
  }
  prefersDark.addEventListener('change', () => {
    chooseShade();
    redraw();
  });

  const watcher = new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries) {
        if (isIntersecting) near.add(target);
        else near.delete(target);
      }
      drawNext();
    },
    { rootMargin: '300px 0px' },
  );
  for (const plot of plots) watcher.observe(plot);

  // Values without a mouse: the arrow keys step through a picture from left to right.
  for (const plot of plots) {
    let step = -1;
    plot.tabIndex = 0;
    plot.addEventListener('blur', () => {
      step = -1;
      if (drawn.has(plot)) Plotly.Fx.unhover(plot);
    });
    plot.addEventListener('keydown', (event) => {
      const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (by === undefined || !drawn.has(plot)) return;
      event.preventDefault();
      const stops = stopsOf(plot);
      step = Math.min(stops.length - 1, Math.max(0, step + by));
      Plotly.Fx.hover(plot, stops[step].points, stops[step].axes);
    });
  }

  let lastWidth = root.clientWidth;
  let waiting = 0;
  addEventListener('resize', () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      if (onPaper || root.clientWidth === lastWidth) return;
      lastWidth = root.clientWidth;
      redraw();
    }, 150);
  });

  addEventListener('beforeprint', () => {
    onPaper = true;
    chooseShade();
    for (const plot of plots) draw(plot);
  });
  addEventListener('afterprint', () => {
    onPaper = false;
    chooseShade();
    redraw();
  });

  function loadPlotly() {
    if (globalThis.Plotly !== undefined) return;
    const start = performance.now();
    const script = document.createElement('script');
    script.textContent = document.getElementById('plotly').textContent;
    document.head.append(script);
    performance.measure('plotting library', { start });
  }

  function chooseShade() {
    const wish = document.querySelector('input[name="shade"]:checked').value;
    const dark = !onPaper && (wish === 'dark' || (wish === 'system' && prefersDark.matches));
    root.dataset.shade = dark ? 'dark' : 'light';
  }

  // One picture at a time, so that the page stays quick while it is scrolled.
  function drawNext() {
    if (globalThis.Plotly === undefined) return;
    const next = [...near].find((plot) => !drawn.has(plot));
    if (next === undefined) return;
    draw(next);
    requestAnimationFrame(drawNext);
  }

  // What is out of view is drawn again when it comes back into view.
  function redraw() {
    drawn.clear();
    if (globalThis.Plotly === undefined) return;
    for (const plot of near) draw(plot);
  }

  function draw(plot) {
    const start = performance.now();
    const { figure, figureInDbu } = charts[plot.dataset.chart];
    const chosen = root.dataset.levelUnit === 'dbu' && figureInDbu !== null ? figureInDbu : figure;
    const width = onPaper ? paperWidth(plot) : plot.clientWidth;
    const { data, layout } = inColours(chosen);
    const config = { displayModeBar: false, scrollZoom: false, doubleClick: false, showTips: false };
    drawn.add(plot);
    loadPlotly();
    plot.querySelector('.still')?.remove();
    const traces = data.map((trace) => inPanel({ x: data[0].x, ...trace }));
    Plotly.react(plot, traces, fullLayout({ layout, width }), config);
    performance.measure(`picture ${plot.dataset.chart}`, { start });
  }

  // Places at which a picture can be read out: the points of the fullest curve of each panel, with the others there.
  function stopsOf(plot) {
    const shown = plot.data.map((trace, curveNumber) => ({ ...trace, curveNumber }));
    const readable = shown.filter(({ hoverinfo, type }) => hoverinfo !== 'skip' && type !== 'contour');
    return [...new Set(readable.map(({ xaxis }) => xaxis))].flatMap((axis) => {
      const own = readable.filter(({ xaxis }) => xaxis === axis);
      const fullest = own.reduce((most, trace) => (known(trace).length > known(most).length ? trace : most));
      return known(fullest).map((at) => ({
        axes: [`${axis}${fullest.yaxis}`],
        points: own
          .filter(({ y }) => y[at] !== null && y[at] !== undefined)
          .map(({ curveNumber }) => ({ curveNumber, pointNumber: at })),
      }));
    });
  }

  function known({ y }) {
    return [...y.keys()].filter((i) => y[i] !== null);
  }

  // Names of colours become colours: properties of the style sheet, or shades between two of them.
  function inColours(figure) {
    const style = getComputedStyle(root);
    const property = (name) => style.getPropertyValue(name).trim();
    const low = channels(property('--ramp-low'));
    const high = channels(property('--ramp-high'));
    return JSON.parse(JSON.stringify(figure), (_, value) => {
      if (typeof value !== 'string') return value;
      if (value.startsWith('--')) return property(value);
      const shade = /^ramp\(([\d.]+)\)$/.exec(value);
      if (shade === null) return value;
      return `rgb(${low.map((from, i) => Math.round(from + (high[i] - from) * Number(shade[1]))).join(',')})`;
    });
  }

  function channels(hex) {
    return [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));
  }

  function paperWidth(plot) {
    return plot.closest('.wide') ? PAPER_WIDTH_PX : (PAPER_WIDTH_PX - PAPER_GAP_PX) / 2;
  }

  // A figure counts panels from 0, Plotly calls its axes x, x2, x3.
  function inPanel({ panel = 0, ...trace }) {
    return { ...trace, xaxis: `x${numberOf(panel)}`, yaxis: `y${numberOf(panel)}` };
  }

  function numberOf(panel) {
    return panel === 0 ? '' : panel + 1;
  }

  function fullLayout({ layout, width }) {
    const style = getComputedStyle(root);
    const ink = style.getPropertyValue('--ink').trim();
    const rule = style.getPropertyValue('--rule').trim();
    const paper = style.getPropertyValue('--paper').trim();
    const { panels = [''] } = layout;
    const stacked = panels.length > 1 && width < NARROW_PX;
    const narrow = (stacked ? width : width / panels.length) < NARROW_PX;
    const axis = (own) => ({
      gridcolor: rule,
      gridwidth: 0.5,
      linecolor: ink,
      linewidth: 1,
      showline: true,
      zeroline: false,
      ticks: 'outside',
      tickcolor: ink,
      ticklen: 4,
      fixedrange: true,
      ...own,
      ...(narrow ? thinned(own) : {}),
      title: { ...own.title, standoff: 8, font: { size: 12 } },
    });
    const ownHeight = onPaper ? layout.height * PAPER_HEIGHT_SHARE : layout.height;
    return {
      ...layout,
      ...panelAxes({ panels, stacked, xaxis: axis(layout.xaxis), yaxis: axis(layout.yaxis) }),
      shapes: (layout.shapes ?? []).flatMap((shape) => panels.map((_, k) => shapeInPanel(shape, k))),
      annotations: panels.flatMap((title, k) => (title === '' ? [] : [panelTitle(title, k)])),
      width,
      height: stacked ? ownHeight * panels.length * STACKED_SHARE : ownHeight,
      showlegend: false,
      margin: { l: 58, r: 14, t: panels.length > 1 || panels[0] !== '' ? 26 : 14, b: 52 },
      paper_bgcolor: 'rgba(0,0,0,0)',
      plot_bgcolor: 'rgba(0,0,0,0)',
      font: { family: style.getPropertyValue('--figures'), size: narrow ? 11 : 12, color: ink },
      hoverlabel: { bgcolor: paper, bordercolor: rule, font: { color: ink, size: 12 }, namelength: -1 },
      dragmode: false,
    };
  }

  // Side by side the panels share the level axis at the left; below one another each has its own.
  function panelAxes({ panels, stacked, xaxis, yaxis }) {
    const gap = stacked ? 0.32 / panels.length : 0.04;
    const share = (1 - gap * (panels.length - 1)) / panels.length;
    const axes = {};
    panels.forEach((_, k) => {
      const place = stacked ? panels.length - 1 - k : k;
      const domain = [place * (share + gap), place * (share + gap) + share];
      const lowest = k === panels.length - 1;
      axes[`xaxis${numberOf(k)}`] = {
        ...xaxis,
        anchor: `y${numberOf(k)}`,
        ...(stacked ? {} : { domain }),
        ...(stacked && !lowest ? { title: { text: '' } } : {}),
      };
      axes[`yaxis${numberOf(k)}`] = {
        ...yaxis,
        anchor: `x${numberOf(k)}`,
        ...(stacked ? { domain } : {}),
        ...(!stacked && k > 0 ? { title: { text: '' }, showticklabels: false } : {}),
      };
    });
    return axes;
  }

  function shapeInPanel(shape, k) {
    const within = (ref, letter) =>
      ref === 'paper' ? `${letter}${numberOf(k)} domain` : `${letter}${numberOf(k)}`;
    return { ...shape, xref: within(shape.xref, 'x'), yref: within(shape.yref, 'y') };
  }

  function panelTitle(text, k) {
    return {
      text,
      showarrow: false,
      xref: `x${numberOf(k)} domain`,
      x: 0,
      xanchor: 'left',
      yref: `y${numberOf(k)} domain`,
      y: 1,
      yanchor: 'bottom',
    };
  }

  // Every second mark of a crowded axis.
  function thinned({ tickvals, ticktext }) {
    if (tickvals === undefined || tickvals.length < 8) return {};
    return { tickvals, ticktext: ticktext.map((text, i) => (i % 2 === 0 ? text : '')) };
  }
})();
