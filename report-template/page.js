// The page's own script: chooses units and shade, puts a picture that reads out in the place of a still one when it is
// touched, and saves the summary picture.
// The pictures are data in the element "charts"; src/report/charts/figure.ts says what is in them.
(() => {
  const root = document.documentElement;
  const plots = [...document.querySelectorAll('.plot')];
  const live = new Map();
  const prefersDark = matchMedia('(prefers-color-scheme: dark)');
  const NARROW_PX = 520;
  // A mouse that only passes over a picture does not touch it.
  const TOUCH_MS = 120;
  let charts;
  let plotting;

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

  for (const plot of plots) {
    let resting = 0;
    plot.addEventListener('pointerenter', () => {
      resting = setTimeout(() => wake(plot), TOUCH_MS);
    });
    plot.addEventListener('pointerleave', () => clearTimeout(resting));
    plot.addEventListener('pointerdown', () => wake(plot));

    // Values without a mouse: the arrow keys step through a picture from left to right.
    let step = -1;
    plot.tabIndex = 0;
    plot.addEventListener('blur', () => {
      step = -1;
      if (live.has(plot)) Plotly.Fx.unhover(live.get(plot));
    });
    plot.addEventListener('keydown', async (event) => {
      const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (by === undefined) return;
      event.preventDefault();
      await wake(plot);
      const stops = stopsOf(live.get(plot));
      step = Math.min(stops.length - 1, Math.max(0, step + by));
      Plotly.Fx.hover(live.get(plot), stops[step].points, stops[step].axes);
    });
  }

  for (const button of document.querySelectorAll('[data-save]')) {
    button.addEventListener('click', async () => {
      const { svg, width, height } = glancePicture();
      const drawing = new Blob([svg], { type: 'image/svg+xml' });
      save(
        button.dataset.save === 'svg' ? drawing : await pngOf(drawing, width, height),
        `radio.${button.dataset.save}`,
      );
    });
  }

  let lastWidth = root.clientWidth;
  let waiting = 0;
  addEventListener('resize', () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      if (root.clientWidth === lastWidth) return;
      lastWidth = root.clientWidth;
      redraw();
    }, 150);
  });

  // The plotting library is packed, and is unpacked once, when the first picture is touched.
  function unpackPlotting() {
    plotting ??= (async () => {
      const start = performance.now();
      const bytes = fromBase85(document.getElementById('plotting').textContent);
      const text = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate-raw'));
      const script = document.createElement('script');
      script.textContent = await new Response(text).text();
      document.head.append(script);
      performance.measure('plotting library', { start });
    })();
    return plotting;
  }

  function save(blob, name) {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(blob);
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  }

  // The small pictures of the outputs as one, two abreast, under the names of page and section.
  function glancePicture() {
    const maps = [...document.querySelectorAll('.glance-map')].map((map) => map.cloneNode(true));
    const across = Math.min(2, maps.length);
    const margin = 16;
    let y = 40;
    for (let i = 0; i < maps.length; i += across) {
      const row = maps.slice(i, i + across);
      row.forEach((map, k) => {
        map.setAttribute('x', margin + k * (map.width.baseVal.value + margin));
        map.setAttribute('y', y);
      });
      y += Math.max(...row.map((map) => map.height.baseVal.value)) + margin;
    }
    const width = margin + across * (maps[0].width.baseVal.value + margin);
    const height = y + 20;
    const whole = document.createElementNS('http://www.w3.org/2000/svg', 'svg');
    const add = (name, attributes, text = '') => {
      const child = whole.appendChild(document.createElementNS(whole.namespaceURI, name));
      for (const [key, value] of Object.entries(attributes)) child.setAttribute(key, value);
      child.textContent = text;
    };
    for (const [key, value] of Object.entries({ width, height, viewBox: `0 0 ${width} ${height}` }))
      whole.setAttribute(key, value);
    const font = { 'font-family': 'system-ui, sans-serif', fill: '#1d2329' };
    add('rect', { width, height, fill: '#fff' });
    add('text', { ...font, x: margin, y: 24, 'font-size': 15 }, document.querySelector('h1').textContent);
    add(
      'text',
      { ...font, x: margin, y: y + 6, 'font-size': 11 },
      document.querySelector('.reading').textContent,
    );
    whole.append(...maps);
    return { svg: new XMLSerializer().serializeToString(whole), width, height };
  }

  // Twice the size: it is looked at on a phone.
  async function pngOf(drawing, width, height) {
    const image = new Image();
    image.src = URL.createObjectURL(drawing);
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = 2 * width;
    canvas.height = 2 * height;
    canvas.getContext('2d').drawImage(image, 0, 0, canvas.width, canvas.height);
    return new Promise((done) => canvas.toBlob(done, 'image/png'));
  }

  // Five signs for four bytes: src/report/base85.ts says which. The last group is filled up with the highest sign.
  function fromBase85(text) {
    const groups = Math.ceil(text.length / 5);
    const view = new DataView(new ArrayBuffer(groups * 4));
    for (let group = 0; group < groups; group++) {
      let value = 0;
      for (let k = group * 5; k < group * 5 + 5; k++) {
        const code = k < text.length ? text.charCodeAt(k) : 119;
        value = value * 85 + (code === 126 ? 60 : code) - 35;
      }
      view.setUint32(group * 4, value);
    }
    return new Uint8Array(view.buffer, 0, Math.floor((text.length * 4) / 5));
  }

  function chooseShade() {
    const wish = document.querySelector('input[name="shade"]:checked').value;
    const dark = wish === 'dark' || (wish === 'system' && prefersDark.matches);
    root.dataset.shade = dark ? 'dark' : 'light';
  }

  async function wake(plot) {
    if (live.has(plot)) return;
    await unpackPlotting();
    if (!live.has(plot)) draw(plot);
  }

  function redraw() {
    for (const plot of live.keys()) draw(plot);
  }

  function draw(plot) {
    const start = performance.now();
    charts ??= JSON.parse(document.getElementById('charts').textContent);
    const { figure, figureInDbu } = charts[plot.dataset.chart];
    const chosen = root.dataset.levelUnit === 'dbu' && figureInDbu !== null ? figureInDbu : figure;
    const { data, layout } = inColours(chosen);
    const config = { displayModeBar: false, scrollZoom: false, doubleClick: false, showTips: false };
    const height = live.get(plot)?.clientHeight ?? plot.clientHeight;
    if (!live.has(plot)) {
      live.set(plot, plot.appendChild(document.createElement('div')));
      live.get(plot).className = 'live';
      // The still picture stays for the printer.
      plot.classList.add('touched');
    }
    const traces = data.map((trace) => inPanel({ x: data[0].x, ...trace }));
    Plotly.react(live.get(plot), traces, fullLayout({ layout, width: plot.clientWidth, height }), config);
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

  // A figure counts panels from 0, Plotly calls its axes x, x2, x3.
  function inPanel({ panel = 0, ...trace }) {
    return { ...trace, xaxis: `x${numberOf(panel)}`, yaxis: `y${numberOf(panel)}` };
  }

  function numberOf(panel) {
    return panel === 0 ? '' : panel + 1;
  }

  function fullLayout({ layout, width, height }) {
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
    return {
      ...layout,
      ...panelAxes({ panels, stacked, xaxis: axis(layout.xaxis), yaxis: axis(layout.yaxis) }),
      shapes: (layout.shapes ?? []).flatMap((shape) => panels.map((_, k) => shapeInPanel(shape, k))),
      annotations: panels.flatMap((title, k) => (title === '' ? [] : [panelTitle(title, k)])),
      width,
      height,
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
