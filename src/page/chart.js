// SPDX-License-Identifier: GPL-3.0-or-later
// Curves on paper, with the lines of ratings. One question a picture; curves differ by colour and
// by dashes, and each has its name at its end.
'use strict';

const chart = (() => {
  const HEIGHT = 420;
  const TOP = 34;
  const BOTTOM = 62;
  const LETTER = 9.6;
  // columns of the picture that a mean is taken over: a few cycles of the mains
  const MEAN = 6;

  // Round steps for an axis of about `wanted` ticks.
  function ticks(low, high, wanted) {
    const raw = (high - low) / Math.max(1, wanted);
    const power = 10 ** Math.floor(Math.log10(raw));
    const step = power * [1, 2, 5, 10].find((m) => m * power >= raw * 0.999);
    const first = Math.ceil(low / step - 1e-9);
    const all = [];
    for (let i = first; i * step <= high + 1e-9 * step; i += 1)
      all.push(Number((i * step).toPrecision(12)));
    return all;
  }

  function range(series, limits) {
    let low = 0;
    let high = 0;
    for (const s of series) {
      for (const v of s.y) {
        if (v < low) low = v;
        if (v > high) high = v;
      }
    }
    for (const l of limits) {
      if (l.y < low) low = l.y;
      if (l.y > high) high = l.y;
    }
    const room = 0.06 * (high - low || 1);
    return [low < 0 ? low - room : 0, high + room];
  }

  // The path of a curve: of all samples that fall on one column of the picture, the lowest and the
  // highest, so that no peak is lost.
  function path(s, x, y, left, right) {
    let text = '';
    let column = null;
    let first = 0;
    let least = 0;
    let most = 0;
    const put = (c, v) => {
      text += `${text ? 'L' : 'M'}${c.toFixed(1)} ${y(v).toFixed(1)}`;
    };
    const flush = () => {
      if (column === null) return;
      put(column, first);
      if (least < first) put(column, least);
      if (most > first) put(column, most);
    };
    for (let i = 0; i < s.x.length; i += 1) {
      const at = x(s.x[i]);
      if (at < left - 1 || at > right + 1 || Number.isNaN(s.y[i])) continue;
      const c = Math.round(at * 2) / 2;
      if (c !== column) {
        flush();
        column = c;
        first = s.y[i];
        least = first;
        most = first;
      } else {
        least = Math.min(least, s.y[i]);
        most = Math.max(most, s.y[i]);
      }
    }
    flush();
    return text;
  }

  // A band from the lowest to the highest of each column of the picture, and the way of the means.
  function band(s, x, y, left, right) {
    const columns = [];
    let last = null;
    for (let i = 0; i < s.x.length; i += 1) {
      const at = x(s.x[i]);
      if (at < left - 1 || at > right + 1) continue;
      const c = Math.round(at);
      if (!last || c !== last.c) {
        last = { c, least: s.y[i], most: s.y[i], area: 0, time: 0 };
        columns.push(last);
      }
      last.least = Math.min(last.least, s.y[i]);
      last.most = Math.max(last.most, s.y[i]);
      const dt = i + 1 < s.x.length ? s.x[i + 1] - s.x[i] : 0;
      last.area += dt > 0 ? (dt * (s.y[i] + s.y[i + 1])) / 2 : 0;
      last.time += dt;
    }
    const up = columns.map((c) => `${c.c} ${y(c.most).toFixed(1)}`);
    const down = columns.map((c) => `${c.c} ${y(c.least).toFixed(1)}`).reverse();
    const mean = [];
    for (let i = 0; i < columns.length; i += MEAN) {
      const some = columns.slice(i, i + MEAN);
      const time = some.reduce((sum, c) => sum + c.time, 0);
      const level = time > 0 ? some.reduce((sum, c) => sum + c.area, 0) / time : some[0].most;
      mean.push(`${some.reduce((sum, c) => sum + c.c, 0) / some.length} ${y(level).toFixed(1)}`);
    }
    return { area: `M${[...up, ...down].join('L')}Z`, mean: `M${mean.join('L')}` };
  }

  // Labels at the right end moved apart, none off the picture.
  function spread(labels, low, high, gap) {
    labels.sort((a, b) => a.at - b.at);
    let before = low - gap;
    for (const l of labels) {
      l.at = Math.max(l.at, before + gap);
      before = l.at;
    }
    let after = high + gap;
    for (const l of [...labels].reverse()) {
      l.at = Math.min(l.at, after - gap);
      after = l.at;
    }
  }

  // Draws into `width` px. picture: title, question, says (what it shows, in words), along and up
  // (titles of the axes), series [{ name, x, y }], limits [{ name, y }], from, to.
  function draw(picture, width) {
    const { series, limits } = picture;
    const names = [...series, ...limits].map((s) => s.name);
    const longest = Math.max(0, ...names.map((n) => n.length));
    const beside = width >= 640;
    const aside = beside ? Math.min(width * 0.34, longest * LETTER + 30) : 10;
    const left = 74;
    const right = width - aside;
    const legend = beside ? 0 : 30 * names.length;
    const height = HEIGHT + legend;
    const from = picture.from || 0;
    const to = picture.to || Math.max(...series.map((s) => s.x[s.x.length - 1]));
    const [low, high] = picture.range || range(series, limits);
    const floor = HEIGHT - BOTTOM;
    const x = (v) => left + ((v - from) / (to - from || 1)) * (right - left);
    const y = (v) => floor - ((v - low) / (high - low || 1)) * (floor - TOP);
    const parts = [];
    const line = (kind, x1, y1, x2, y2) => dom.svg('line', { class: kind, x1, y1, x2, y2 });
    const text = (kind, tx, ty, anchor, words) =>
      dom.svg('text', { class: kind, x: tx, y: ty, 'text-anchor': anchor }, words);

    for (const v of ticks(low, high, 6)) {
      parts.push(
        line('grid', left, y(v), right, y(v)),
        text('tick', left - 8, y(v) + 6, 'end', String(v)),
      );
    }
    for (const v of ticks(from, to, Math.max(2, (right - left) / 110))) {
      parts.push(
        line('grid', x(v), TOP, x(v), floor),
        text('tick', x(v), floor + 24, 'middle', String(v)),
      );
    }
    parts.push(line('axis', left, floor, right, floor), line('axis', left, TOP, left, floor));
    parts.push(
      text('name', 4, 20, 'start', picture.up),
      text('name', right, HEIGHT - 8, 'end', picture.along),
    );

    const labels = [];
    series.forEach((s, i) => {
      if (picture.bands) {
        const b = band(s, x, y, left, right);
        parts.push(
          dom.svg('path', { class: `band band-${i % 6}`, d: b.area }),
          dom.svg('path', { class: `curve curve-${i % 6}`, d: b.mean }),
        );
      } else
        parts.push(
          dom.svg('path', { class: `curve curve-${i % 6}`, d: path(s, x, y, left, right) }),
        );
      let end = s.x.length - 1;
      while (end > 0 && s.x[end] > to) end -= 1;
      labels.push({ name: s.name, at: y(s.y[end] || 0), kind: `curve-${i % 6}` });
    });
    for (const l of limits) {
      parts.push(line('limit', left, y(l.y), right, y(l.y)));
      labels.push({ name: l.name, at: y(l.y), kind: 'limit' });
    }
    if (beside) {
      spread(labels, TOP + 8, floor - 4, 24);
      for (const l of labels) {
        parts.push(
          dom.svg('line', {
            class: `key ${l.kind}`,
            x1: right + 3,
            x2: right + 21,
            y1: l.at,
            y2: l.at,
          }),
          text('label', right + 26, l.at + 6, 'start', l.name),
        );
      }
    } else {
      labels.forEach((l, i) => {
        const at = HEIGHT + 10 + 30 * i;
        parts.push(
          dom.svg('line', { class: `key ${l.kind}`, x1: 6, x2: 42, y1: at, y2: at }),
          text('label', 50, at + 6, 'start', l.name),
        );
      });
    }
    return dom.svg(
      'svg',
      {
        class: 'chart',
        width,
        height,
        viewBox: `0 0 ${width} ${height}`,
        role: 'img',
        'aria-label': `${picture.title}. ${picture.says}`,
      },
      parts,
    );
  }

  // A figure that draws itself anew as wide as it may be.
  function figure(picture) {
    const paper = dom.el('div', { class: 'paper' });
    const node = dom.el(
      'figure',
      {},
      dom.el('figcaption', {}, dom.el('strong', {}, picture.title), ' ', picture.says),
      paper,
    );
    let drawn = 0;
    const again = () => {
      const width = Math.floor(paper.clientWidth);
      if (width < 50 || width === drawn) return;
      drawn = width;
      paper.replaceChildren(draw(picture, width));
    };
    new ResizeObserver(again).observe(paper);
    return node;
  }

  return { figure, draw, range };
})();
