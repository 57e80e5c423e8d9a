// SPDX-License-Identifier: GPL-3.0-or-later
// The page: which screen stands on the sheet, its frame, and when it is drawn anew.
'use strict';

const main = (() => {
  const screens = {
    start: screenStart,
    set: screenSet,
    questions: screenQuestions,
    answer: screenAnswer,
    day: screenDay,
    reading: screenReading,
    change: screenChange,
    see: screenSee,
    wrong: screenWrong,
    sheets: screenSheets,
    keep: screenKeep,
    class: screenClass,
  };
  const LISTED = [
    'start',
    'set',
    'answer',
    'day',
    'change',
    'see',
    'wrong',
    'sheets',
    'class',
    'keep',
  ];
  const narrow = matchMedia('(max-width: 640px)');
  let lives = [];

  function place() {
    const [name, ...rest] = location.hash.slice(1).split('/');
    return { name: screens[name] ? name : 'start', more: rest.map(decodeURIComponent) };
  }

  function go(name, ...more) {
    location.hash = [name, ...more.map(encodeURIComponent)].join('/');
  }

  // A part of a screen that follows the engine's work, and quiet changes, without the rest being
  // drawn.
  function live(fn) {
    const node = dom.el('div', {}, fn());
    lives.push({ node, fn });
    return node;
  }

  function frame() {
    const job = store.get();
    const here = place().name;
    // the first screen says it at length
    const danger = document.getElementById('danger');
    danger.hidden = here === 'start';
    dom.replace(danger, [
      dom.el('strong', {}, words.danger),
      ' ',
      words.dangerDo,
      scenario.live(job) ? [' ', words.dangerLive] : null,
    ]);
    const undo = store.undoable();
    const redo = store.redoable();
    dom.replace(document.getElementById('bar'), [
      dom.el(
        'p',
        { class: 'name' },
        dom.el('strong', {}, 'presolder'),
        ' ',
        job.text ? scenario.parse(job.text).title || job.name : words.noSet,
      ),
      dom.el(
        'p',
        { class: 'tools' },
        dom.button('undo', undo ? words.undo(undo) : words.undoNothing, store.undo, {
          disabled: !undo,
        }),
        redo ? dom.button('redo', words.redo(redo), store.redo) : null,
      ),
    ]);
    const nav = document.getElementById('pages');
    nav.setAttribute('aria-label', words.pages);
    const list = dom.el(
      'ul',
      {},
      LISTED.map((name) =>
        dom.el(
          'li',
          {},
          dom.el(
            'a',
            { href: `#${name}`, id: `go-${name}`, 'aria-current': name === here ? 'page' : null },
            words.screens[name],
          ),
        ),
      ),
    );
    dom.replace(
      nav,
      narrow.matches
        ? dom.el('details', { id: 'pages-fold' }, dom.el('summary', {}, words.pages), list)
        : list,
    );
  }

  function share(progress) {
    if (typeof progress === 'number') return words.share(progress);
    if (typeof progress === 'string') return progress;
    if (progress && typeof progress.share === 'number')
      return words.share(progress.share, progress.left);
    if (progress && typeof progress.text === 'string') return progress.text;
    if (progress && typeof progress.seconds === 'number') return words.seconds(progress.seconds);
    return '';
  }

  function doing(busy) {
    return `${words.working(words.works[busy.name] || busy.name)} ${share(busy.progress)}`;
  }

  function foot() {
    const busy = work.busy();
    dom.replace(document.getElementById('foot'), [
      busy
        ? [dom.el('p', { id: 'doing' }, doing(busy)), dom.button('stop', words.stop, work.stop)]
        : work.held()
          ? [dom.el('p', {}, words.stopped), dom.button('go-on', words.goOn, work.go)]
          : dom.el('p', {}, words.idle),
      store.able() ? null : dom.el('p', {}, words.notKept),
    ]);
  }

  // The stop button stays the same one: a press that begins on it ends on it.
  function progress() {
    const busy = work.busy();
    const node = document.getElementById('doing');
    if (busy && node) node.textContent = doing(busy);
  }

  let pressed = false;
  let missed = false;
  let owed = false;

  function refresh() {
    missed = pressed;
    if (pressed) return;
    for (const { node, fn } of lives) dom.replace(node, fn());
    foot();
    announce();
  }

  // What has come on the sheet, for who cannot see it come: elements with data-says, whose text it is
  // where they give none. What a fresh screen begins with is read there.
  let heard = new Map();

  function announce(fresh) {
    const there = [...document.querySelectorAll('#sheet [data-says]')].filter(
      (e) => !e.closest('.old'),
    );
    const now = new Map(there.map((e) => [e.id, e.dataset.says || e.innerText]));
    const news = [...now].filter(([id, text]) => heard.get(id) !== text).map(([, text]) => text);
    heard = now;
    if (news.length && !fresh) dom.say(news.join(' '));
  }

  function draw(fresh) {
    const { name, more } = place();
    const sheet = document.getElementById('sheet');
    const screen = screens[name];
    lives = [];
    frame();
    const nodes =
      screen.needs !== false && !store.get().text
        ? [
            dom.el(
              'h1',
              { id: 'title', tabindex: '-1' },
              words.screens[name] || words.titles[name],
            ),
            dom.el('p', {}, words.chooseFirst),
            dom.el('p', {}, dom.el('a', { href: '#set', class: 'act' }, words.toSet)),
          ]
        : screen.draw(store.get(), more);
    dom.replace(sheet, nodes);
    document.title = `${words.screens[name] || words.titles[name]} - presolder`;
    foot();
    announce(fresh);
    if (fresh) {
      scrollTo(0, 0);
      const title = document.getElementById('title');
      if (title) title.focus({ preventScroll: true });
    }
  }

  let waiting = false;

  // Drawn when the event that asked for it is over: a key that leaves a field has moved the focus
  // then.
  function later() {
    if (waiting) return;
    waiting = true;
    setTimeout(() => {
      waiting = false;
      if (pressed) owed = true;
      else draw(false);
    }, 0);
  }

  // Nothing is drawn anew under a pointer that is down, or its click would be lost. A slider is
  // followed while it moves.
  function hold() {
    addEventListener(
      'pointerdown',
      (e) => {
        pressed = e.target.type !== 'range';
      },
      true,
    );
    for (const end of ['pointerup', 'pointercancel']) {
      addEventListener(end, () =>
        setTimeout(() => {
          pressed = false;
          if (owed) draw(false);
          else if (missed) refresh();
          owed = false;
        }, 0),
      );
    }
  }

  function begin() {
    store.start();
    store.listen((quiet) => {
      if (work.held()) work.go();
      if (quiet) {
        frame();
        refresh();
      } else later();
    });
    work.listen(refresh);
    work.follow(progress);
    hold();
    addEventListener('hashchange', () => {
      const fold = document.getElementById('pages-fold');
      if (fold) fold.open = false;
      draw(true);
    });
    narrow.addEventListener('change', () => draw(false));
    draw(false);
  }

  return {
    begin,
    go,
    live,
    again: later,
    title: (text) => dom.el('h1', { id: 'title', tabindex: '-1' }, text),
  };
})();

main.begin();
