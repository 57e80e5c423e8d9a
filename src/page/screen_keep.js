// SPDX-License-Identifier: GPL-3.0-or-later
// What is kept: the job, the scenario, figures, scripts, the report; on paper and as text.
'use strict';

const screenKeep = (() => {
  function base(job) {
    return (job.name || 'set').replace(/\.ya?ml$/, '').replace(/[^\w-]+/g, '-');
  }

  async function copy(text) {
    try {
      await navigator.clipboard.writeText(text);
      dom.say(words.copied);
    } catch (error) {
      // where no page from a file may write there: select it by hand
      const area = dom.el('textarea', {
        value: text,
        class: 'unseen',
        readonly: true,
        'aria-label': words.copy,
      });
      document.body.append(area);
      area.select();
      dom.say(document.execCommand('copy') ? words.copied : words.notCopied);
      area.remove();
    }
  }

  function plain(job) {
    const { drafts, ...rest } = job;
    return rest;
  }

  function files(job, imagined) {
    const asked = imagined ? 'pictures imagined' : 'pictures found';
    const run = work.look(asked, requests.pictures(job, imagined));
    const label = imagined ? words.asImagined : words.asFound;
    const tag = imagined ? 'imagined' : 'found';
    if (run.state === 'none') {
      return dom.button(`make-${tag}`, words.makeFiles(label), () =>
        work.press(asked, requests.pictures(job, imagined)),
      );
    }
    if (!run.out || run.state === 'old') {
      return [
        dom.el('p', {}, words.workingSheet),
        run.runs === false || run.state === 'old'
          ? dom.button(`make-${tag}`, words.makeFiles(label), () =>
              work.press(asked, requests.pictures(job, imagined)),
            )
          : null,
      ];
    }
    if (run.state === 'failed') return answers.failed(run.out);
    const name = `${base(job)}-${tag}`;
    return dom.button(`save-${tag}`, words.saveFile(`${name}.zip`), () =>
      dom.save(`${name}.zip`, packed(name, run.out), 'application/zip'),
    );
  }

  // The summary, CSV files and scripts in their folders, so that the scripts find what they draw.
  function packed(name, out) {
    const all = { [`${name}/summary.txt`]: fflate.strToU8(out.stdout) };
    for (const [file, text] of Object.entries(out.files))
      all[file.replace(/^.*?out\//, `${name}/`)] = fflate.strToU8(text);
    return fflate.zipSync(all);
  }

  // Whether the engine has a command of that name.
  function knows(command) {
    const help = answers.seen('help', requests.help());
    return !!help.out && new RegExp(`^ {2}${command} `, 'm').test(help.out.stdout);
  }

  // The engine's report with the page's pictures where it has none of gnuplot's.
  function illustrated(text, job, imagined, out) {
    const subject = requests.subject(job, imagined);
    const set = scenario.parse(subject.text);
    const figure = (p) =>
      dom.el('figure', {}, dom.el('figcaption', {}, p.title, ' ', p.says), chart.draw(p, 920));
    const all = pictures.names
      .map((question) => pictures.make(question, out, subject.label, set))
      .filter(Boolean)
      .map((p) => figure(p).outerHTML);
    const rules = [...document.styleSheets]
      .flatMap((sheet) => [...sheet.cssRules])
      .filter((r) => /^\.chart/.test(r.selectorText))
      .map((r) => r.cssText);
    return text
      .replace(/(<h2[^>]*>Pictures<\/h2>\s*)<p>[^]*?<\/p>/, (found, head) => head + all.join('\n'))
      .replace('</head>', () => `<style>${rules.join('\n')}<\/style>\n</head>`);
  }

  function html(job, name, label, more) {
    const imagined = job.changes.length > 0;
    const request = requests.report(job, imagined, more);
    const run = work.look(name, request);
    const ask = dom.button(
      `make-${name}`,
      imagined ? words.madeOf(label, words.asImagined) : label,
      () => work.press(name, request),
    );
    if (run.state === 'none' || run.state === 'old') return ask;
    const turnOn = answers.turnOn(job, imagined);
    if (!run.out || !['fresh', 'failed'].includes(turnOn.state))
      return dom.el('p', {}, words.workingSheet);
    if (run.state === 'failed') return [answers.failed(run.out), ask];
    return Object.keys(run.out.files)
      .filter((f) => f.endsWith('.html'))
      .map((f) => {
        const file = f.replace(/^.*\//, '');
        return dom.button(`save-${name}`, words.saveFile(file), () =>
          dom.save(
            `${base(job)}-${file}`,
            illustrated(run.out.files[f], job, imagined, turnOn.out),
            'text/html',
          ),
        );
      });
  }

  function reports(job) {
    if (!knows('report')) return null;
    return [
      dom.el('h2', {}, words.reportHead),
      dom.el('p', {}, words.reportHint),
      dom.el(
        'div',
        { class: 'acts' },
        html(job, 'report', words.makeReport, []),
        html(job, 'owner', words.makeOwner, ['--for', 'owner']),
      ),
    ];
  }

  // What the licences ask for. The development server has no page to be the source of.
  function source() {
    const { places } = engine;
    if (!places) return null;
    const commit = places.commit && words.commit(places.commit, places.date);
    return [
      dom.el('h3', {}, words.sourceHead),
      dom.el('p', {}, words.sourceHint(commit)),
      dom.el(
        'ul',
        {},
        words.sources(places).map((text) => dom.el('li', {}, text)),
      ),
      dom.el(
        'p',
        { class: 'acts' },
        dom.button('save-source', words.saveSource, () =>
          dom.save('presolder-source.tar.xz', engine.source(), 'application/x-xz'),
        ),
      ),
    ];
  }

  function draw(job) {
    return [
      main.title(words.titles.keep),
      dom.el('p', {}, store.able() ? words.keptHere : words.notKept),
      dom.el('h2', {}, words.jobHead),
      dom.el('p', {}, words.jobHint),
      dom.el(
        'p',
        { class: 'acts' },
        dom.button('save-job', words.saveJob, () =>
          dom.save(
            `${base(job)}.job.json`,
            JSON.stringify(plain(store.get()), null, 1),
            'application/json',
          ),
        ),
        dom.button('save-scenario', words.saveScenario, () =>
          dom.save(`${base(job)}.yaml`, store.get().text),
        ),
        job.changes.length
          ? dom.button('save-imagined', words.saveImagined, () =>
              dom.save(`${base(job)}-imagined.yaml`, requests.subject(store.get(), true).text),
            )
          : null,
        readings.file(job)
          ? dom.button('save-readings', words.saveReadings, () =>
              dom.save(`${base(job)}-readings.yaml`, readings.file(store.get())),
            )
          : null,
      ),
      dom.el('h2', {}, words.filesHead),
      dom.el('p', {}, words.filesHint),
      main.live(() =>
        dom.el(
          'div',
          { class: 'acts' },
          answers.ready(store.get())
            ? [files(store.get(), false), job.changes.length ? files(store.get(), true) : null]
            : answers.checked(store.get()),
        ),
      ),
      main.live(() => (answers.ready(store.get()) ? reports(store.get()) : null)),
      dom.el('h2', {}, words.paperHead),
      main.live(() => {
        const run = work.look('meaning found', requests.meaning(store.get(), false));
        return dom.el(
          'p',
          { class: 'acts' },
          dom.button('print', words.print, () => {
            main.go('answer');
            setTimeout(() => window.print(), 300);
          }),
          dom.button('copy', words.copyAnswer, () => copy(report.plain(run.out.stdout)), {
            disabled: !run.out,
          }),
        );
      }),
      dom.el('h2', {}, words.aboutHead),
      words.about.map((text) => dom.el('p', {}, text)),
      source(),
    ];
  }

  return { draw, copy, knows };
})();
