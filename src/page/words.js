// SPDX-License-Identifier: GPL-3.0-or-later
// Every text of the page that is not the engine's; those of the day at the bench: words_day.js.
'use strict';

const words = {
  danger: 'UNPLUGGED IS NOT DEAD.',
  dangerDo: 'Discharge, then measure.',
  dangerLive: 'The chassis may be live: treat it as live.',
  dangerMore: [
    'Filter capacitors hold a charge that can kill, with the plug out, for hours. Some of it ' +
      'creeps back.',
    'Before a hand goes in: plug out. Hold 10 kohm, 5 W, rated 500 V, across each filter ' +
      'capacitor for 30 s; never a screwdriver. Then measure: under 30 V. Wait, and measure ' +
      'again.',
    'Under power: never alone, one hand in the pocket, eye protection on, the switch at ' +
      'arm\u2019s length. Off at once at smoke, a hot can or red rectifier plates. Local codes ' +
      'and licensed practice come first.',
  ],
  liveMore: [
    'Without a power transformer one side of the line goes straight to the set. The chassis ' +
      'may be live with the plug in either way, and with the switch off.',
    'Use an isolation transformer. A variable transformer does not isolate, and a series lamp ' +
      'does not protect you from shock. Never earth such a chassis, and let no earthed ' +
      'instrument near it.',
  ],
  bench: 'What is on the bench?',
  benches: [
    ['first', 'A set to power for the first time'],
    ['wrong', 'A set that works wrongly, and I have readings'],
    ['part', 'A part to replace or change'],
    ['class', 'A class to teach'],
    ['saved', 'Open a saved job'],
  ],
  transformer: 'Is there a power transformer in it?',
  transformers: [
    ['yes', 'Yes'],
    ['no', 'No: the chassis may be live'],
    ['unknown', 'I don\u2019t know: treat it as live'],
  ],
  jobFile: 'The saved job',
  jobFileHint:
    'A file that ends in .job.json, as this page saved it. Undo brings the present job back.',
  noJob: (name) =>
    `${name} is no job of this page. A scenario (.yaml) is opened under \u201CThe set\u201D.`,
  toSet: 'Choose the set',
  toAnswer: 'See the answer',
  toQuestions: 'Go through its values',
  toSheets: 'Shopping list and other sheets',
  then: {
    first: 'Begin the day at the bench',
    wrong: 'Find what is wrong',
    part: 'Change a part',
    class: 'Prepare the class',
    pictures: 'Look at the pictures',
  },
  screens: {
    start: 'Start',
    set: 'The set',
    answer: 'The answer',
    day: 'The day',
    change: 'Change',
    see: 'Pictures',
    wrong: 'What is wrong?',
    sheets: 'Sheets',
    class: 'Class',
    keep: 'Keep',
  },
  titles: {
    set: 'Which set is it?',
    questions: 'Its values',
    answer: 'The answer',
    day: 'The day at the bench',
    reading: 'One reading',
    change: 'Change something',
    wrong: 'What is wrong with it?',
    sheets: 'Sheets for the bench',
    keep: 'Keep it',
    class: 'A class to teach',
  },
  pages: 'Pages of this job',
  pictures: 'Questions',
  noSet: 'No set chosen yet',
  chooseFirst: 'Choose a set first.',
  undo: (what) => `Undo: ${what}`,
  undoNothing: 'Nothing to undo',
  redo: (what) => `Redo: ${what}`,
  undone: (what) => `Undone: ${what}.`,
  redone: (what) => `Done again: ${what}.`,
  did: {
    opened: 'open a saved job',
    bench: 'what is on the bench',
    transformer: 'transformer in it or not',
    set: (name) => `take ${name}`,
    variant: 'variant of the set',
    text: 'change of the text',
    answer: (part, key) => `${part}, ${key}`,
    reading: (what) => `reading ${what}`,
    skipped: (what) => `leave out ${what}`,
    dropped: (what) => `strike ${what}`,
    day: (day) => `go to ${day}`,
    lamp: (lamp) => `take the ${lamp}`,
    change: (part, key) => `${part === 'mains' ? 'line' : part} ${key}`,
    shown: (part) => `look at ${part}`,
    asFound: 'all as found',
  },

  // what the engine does
  works: {
    check: 'reading the set',
    'turn-on found': 'switching on',
    'turn-on imagined': 'switching on, as imagined',
    'settled found': 'settled voltages',
    'settled imagined': 'settled voltages, as imagined',
    'meaning found': 'how far the guesses matter',
    'meaning imagined': 'how far the guesses matter, as imagined',
    'bench-sheet found': 'bench sheet',
    'drawing found': 'drawing',
    'drawing imagined': 'drawing',
    'lettered found': 'drawing',
    'lettered imagined': 'drawing',
    diagnosis: 'looking for causes',
    exercise: 'sheets for the class',
    report: 'report',
    owner: 'owner\u2019s page',
    forms: 'list of forms',
    help: 'list of commands',
    schema: 'what each value takes',
  },
  working: (what) => `At work: ${what}.`,
  share: (share, left) =>
    `${Math.round(100 * share)} % done${left > 1 ? `, about ${Math.round(left)} s left` : ''}.`,
  seconds: (s) => `${Math.round(s)} s so far.`,
  stop: 'Stop',
  stopped: 'Stopped. What was found by then is kept and marked as partial.',
  goOn: 'Go on',
  idle: 'Nothing is being computed.',
  notKept:
    'This browser keeps nothing for a page opened this way: a reload loses the job. Save it ' +
    'under \u201CKeep\u201D.',
  keptHere:
    'This browser keeps the job on this computer: a reload loses nothing. Another set takes its ' +
    'place; undo brings it back.',
  computing: 'Computing \u2026',
  checking: 'Reading the set \u2026',
  drawing: 'Drawing \u2026',
  failed: 'This could not be computed:',
  partial: 'Partial: the run was stopped early.',
  old: 'Old: from before your last change.',
  notYetKnown: 'Turn-on not yet known.',
  noneAsTyped: (nearest) =>
    `As typed, nothing is over a rating at turn-on${nearest ? `; nearest is ${nearest}` : ''}. ` +
    'This is not yet an all-clear.',
  endsNotYetKnown: 'Still to come: the same with each guess at its worst.',
  toFillIn: 'to fill in',
  table: 'Figures',
  unknown: 'not known',
  never: 'never',
  unlimited: 'unlimited',
  same: 'the same',

  // the set
  onBench: 'On the bench',
  another: 'Or take another set:',
  variant: 'In which state?',
  asWritten: 'as it is written',
  variantHint: 'Faults and changes that its file describes.',
  waysShipped: 'One of the worked sets',
  waysFile: 'A file of your own',
  ownFile: 'Scenario file',
  ownFileHint:
    'A .yaml file, as this page or the command line writes it. It stays on this computer.',
  waysForm: 'Questions about your set',
  waysFormHint:
    'Choose what comes nearest. Every value in it is made up: replace each with your own, or ' +
    'say that you do not know it.',
  inOrder: 'The set is described well enough to compute.',
  errors: (n) =>
    n === 1 ? 'Correct this first:' : `Correct these ${n} things first:`,
  line: (n) => `Line ${n}`,
  kinds: { error: 'error', warning: 'warning', note: 'note' },
  questionsHint:
    'Write each value with its unit. Where you leave a field empty a usual value is assumed, ' +
    'and every answer says so. Measure ohms with the set dead: plug out, capacitors discharged.',
  iDoNotKnow: 'I don\u2019t know',
  partName: (name, is) =>
    is
      ? `${name} (${is})`
      : { title: 'The set', mains: 'The line', chart: 'The service chart' }[name] || name,
  theText: 'The same as text',
  textLabel: 'Scenario',
  textHint: 'Change it here or in the fields above: both are the same file.',
  brokenText: 'The text cannot be read yet. Correct the lines named below.',

  // the answer
  settledHead: 'When it has settled',
  settledNote: 'After some hours, with every part warm.',
  settledAt: (list) => `Settled: ${list.join(', ')}.`,
  rippleOf: (v) => `with ${v} of ripple`,
  wired: 'How it is wired',
  drawingOf: 'Circuit diagram.',
  saveDrawing: 'Save the drawing',
  marginsHead: 'Margins, the worst first',
  margins: 'Ratings used at turn-on, in the warm set and at a hot restart',
  marginHeads: ['Part', 'What', 'Value', 'Limit', 'Verdict', 'When'],
  verdicts: { over: 'OVER', near: 'near', within: 'within' },
  runOf: (variant, time) =>
    /\(warm\)$/.test(variant)
      ? 'warm'
      : /\(hot restart\)$/.test(variant)
        ? 'hot restart'
        : time !== null && Number.isFinite(time)
          ? quantity.show(time, 's')
          : '',
  measure: (m) =>
    ({
      'settled-voltage': 'voltage',
      'highest-voltage': 'highest voltage',
      'lowest-voltage': 'lowest voltage',
      'rms-voltage': 'RMS voltage',
      'inverse-voltage': 'inverse voltage',
      'running-peak-current': 'peak of every cycle',
      'inrush-peak-current': 'first peak',
      'average-current': 'direct current',
      'rms-current': 'RMS current',
      'first-capacitor': 'first capacitor',
      'supply-impedance': 'ohms per plate',
      temperature: 'temperature',
      dissipation: 'heat',
      'peak-i2t': 'I2t of the first peak',
    })[m] || m.replace(/-/g, ' '),
  meterTable: 'What the meter should read, warm',
  meterHeads: ['Reading', 'Expect', 'Chart', 'You read', 'Why'],
  whole: 'The whole report in words',
  dcAt: (point) => `DC at ${point}`,
  acAt: (point) => `AC at ${point}`,
  acOn: (point) => `AC ripple at ${point}`,
  ohmsOf: (ways) => `Ohms, ${ways}`,
  lineCurrent: 'Line current',
  linePower: 'Line power',
  lampVolts: 'Voltage across the lamp',
  peakOf: (plate) => `Peak current of ${plate}`,

  // the change
  changeHint:
    'Say what you would do. Nothing is soldered yet: what you change is marked as imagined.',
  is: 'is',
  andIs: 'and it is',
  comma: ', ',
  before: (key) => ({ rated: 'rated', inductance: 'of', resistance: 'of' })[key] || '',
  keyName: (key) => ({ condition: 'state', voltage: 'voltage' })[key] || key,
  option: (o) => ({ modern: 'new', good: 'sound', dry: 'old, dry', wet: 'old, wet' })[o] || o,
  notGiven: 'not given',
  less: (what) => `${what}: one step less`,
  more: (what) => `${what}: one step more`,
  imaginedMark: 'imagined',
  andLine: 'and the line is',
  also: 'Change also',
  aPart: 'a part \u2026',
  asFoundAgain: 'All as found again',
  changeSettled: 'This comes at once; the turn-on follows below.',
  changeTable: 'Settled and warm, as found and as imagined',
  changeHeads: ['Reading', 'As found', 'As imagined', 'Change'],
  overTurnOn: (what) => `Over its rating: ${what}.`,
  overSettled: (what) => `Over its rating when settled: ${what}.`,
  turnOnHead: 'At turn-on',
  nothingChanged: 'Nothing is changed. As found:',
  seeBoth: 'Pictures of both',

  // pictures
  asFound: 'As found',
  asImagined: 'As imagined',
  questions: {
    wiring: 'How is it wired?',
    'turn-on': 'What do the capacitors see at turn-on?',
    cycles: 'What does the rectifier carry, cycle by cycle?',
    restart: 'What does it carry at a hot restart?',
    inverse: 'How much inverse voltage does it take?',
    warmth: 'How warm does it get?',
    heat: 'Where does the heat go?',
  },
  says: {
    turnOn: (list) => `Highest: ${list}.`,
    pulses: (list) => `Peaks: ${list}.`,
    inverse: (list) => `Highest of the run: ${list}.`,
    heat: (list, later) =>
      `At the end of the run: ${list}.${later ? ` After hours: ${later}.` : ''}`,
  },
  axis: {
    time: 'seconds after switch-on',
    ms: 'milliseconds',
    volts: 'volts',
    milliamperes: 'milliamperes',
    degrees: '\u00B0C',
    watts: 'watts',
  },
  limitOf: (measure, value, names) =>
    (({ 'settled-voltage': `rated ${value}`, 'highest-voltage': `for a short time ${value}` })[
      measure
    ] || `limit ${value}`) + (names ? `: ${names}` : ''),
  noPicture: 'This set has nothing of the kind.',
  imaginedIs: (list) => `Imagined: ${list}.`,
  theLine: 'line',
  noImagined: 'Nothing is imagined yet.',

  // what is wrong
  wrongCaution:
    'Measure with the set dead where you can: ohms tell a lot and hurt nobody. Under power: ' +
    'clip the meter on first, switch on, read, switch off, pull the plug. Only then type.',
  readingsTable: 'What was read',
  readingsHeads: ['Reading', 'It read', 'Mistaken?'],
  noReadings: 'No readings yet.',
  readFirst: 'Add a reading first.',
  strike: 'Strike out',
  addHead: 'Add a reading',
  addWay: 'What was read?',
  addOf: 'Where?',
  ways: {
    DC: 'DC voltage',
    AC: 'AC voltage',
    ohm: 'ohms, set dead',
    current: 'line current',
    power: 'line power',
  },
  voltsTo: (reference) =>
    `From there to ${reference}, at full line, after a few minutes. Readings on the lamp belong to step 2 of the day.`,
  ohmsTo: (reference) => `From there (plus lead) to ${reference}.`,
  addReading: 'Add it',
  taken1: (what) => `Written down: ${what}.`,
  noticedHead: 'What was seen and heard',
  notLooked: 'not looked',
  noticedKinds: [
    ['hum', 'Hum', ['none', 'low', 'raspy']],
    ['fuse', 'Fuse', ['holds', 'opens after seconds', 'opens at once']],
    ['plates', 'Rectifier plates', ['dark', 'red', 'blue between']],
    ['heaters', 'Heaters', ['lit', 'dark']],
  ],
  whatWrong: 'What is wrong',
  askWrong: 'Find the likely causes',
  diagnosing: 'Each fault is tried in turn. No answer yet.',

  // sheets
  sheets: {
    'bench-sheet': [
      'Bench sheet',
      'What the meter should read at each step, and what each fault reads. Takes some minutes.',
    ],
    'buy-list': ['Shopping list', 'What to order: value, voltage, watts, and why.'],
    discharge: ['Discharge', 'What the capacitors hold, and with what to empty them.'],
    fuse: ['Fuse', 'The smallest line fuse that holds, and which faults it clears in time.'],
    'hot-chassis': [
      'Hot chassis',
      'Voltage and touch current from the chassis to earth, both ways round of the plug.',
    ],
    tolerances: [
      'Do the figures hold?',
      'How far each figure may be off, since parts, meter and line are never exact.',
    ],
  },
  workingSheet: 'Being worked out \u2026',
  allSheets: 'All sheets',
  ofWhich: 'Of which set?',
  print: 'Print',
  copy: 'Copy as text',
  copied: 'Copied.',
  notCopied: 'This browser lets no page copy. Open the whole report and select it by hand.',
  saveFile: (name) => `Save ${name}`,

  // the class
  showHead: 'To show',
  showHint:
    'Change one thing, and first ask the class what will happen: the line, the first capacitor, ' +
    'another rectifier. As found and as imagined share one scale.',
  lessonHead: 'Sheets with a hidden fault',
  lessonHint:
    'A sheet for each pupil, its readings on cards, and a key for the trainer. The same draw ' +
    'gives the same sheets.',
  lessonLevel: 'How hard?',
  lessonLevels: [
    ['1', 'One fault'],
    ['2', 'One whose first symptoms point at another part'],
    ['3', 'Two faults'],
  ],
  lessonPupils: 'How many sheets?',
  makeSheets: 'Make the sheets',
  anotherDraw: 'Another draw',
  lessonFile: (name) =>
    ({
      'pupils.html': 'Save the pupils\u2019 sheets',
      'key.html': 'Save the trainer\u2019s key',
      'demonstration.html': 'Save the demonstration',
    })[name] || `Save ${name}`,
  trainerOnly: 'For the trainer only: the faults',

  // keep
  jobHead: 'The job',
  jobHint:
    'The set, your readings and your changes in one file. This page opens it again from its ' +
    'first screen.',
  saveJob: 'Save the job',
  saveScenario: 'Save the scenario',
  saveImagined: 'Save the scenario as imagined',
  saveReadings: 'Save the readings',
  filesHead: 'Figures and pictures as files',
  filesHint:
    'One .zip file: the summary, all figures as CSV, and gnuplot scripts that draw the pictures.',
  makeFiles: (label) => `Make the files: ${label}`,
  madeOf: (what, which) => `${what}: ${which}`,
  reportHead: 'Report',
  reportHint:
    'One page of HTML with pictures, to read, print and send. The owner\u2019s page goes back ' +
    'with the set.',
  makeReport: 'Make the report',
  makeOwner: 'Make the owner\u2019s page',
  paperHead: 'Paper and text',
  copyAnswer: 'Copy the answer as text',
  aboutHead: 'About this page',
  about: [
    'presolder computes in this page; nothing is sent or fetched. Its results are only as good ' +
      'as the values you type in: trust the meter.',
    'It is free software under the GNU General Public License, version 3 or later: you may use ' +
      'it, change it and pass it on, and whoever gets it from you may do the same. There is no ' +
      'warranty.',
  ],
  sourceHead: 'Its source',
  sourceHint: (commit) =>
    `The source of this page is in this page${commit ? ` (${commit})` : ''}, with the script ` +
    'that builds it and the licences of what else is in it. What is not ours comes from:',
  commit: (commit, date) =>
    `commit ${commit.replace(/-dirty$/, '')} of ${date}${/-dirty$/.test(commit) ? ', changed' : ''}`,
  saveSource: 'Save the source (.tar.xz)',
  sources: (v) => [
    `GNU Scientific Library (GPL, version 3 or later): Debian source package gsl ${v.gsl}, ` +
      'https://sources.debian.org/src/gsl/',
    `libyaml (MIT licence): Debian source package libyaml ${v.libyaml}, ` +
      'https://sources.debian.org/src/libyaml/',
    'The C library musl and the rest of what runs a C program in a browser (MIT licence and ' +
      `others): Debian source package emscripten ${v.emscripten}, ` +
      'https://sources.debian.org/src/emscripten/',
    'The page\u2019s YAML reader and unpacker: npm packages yaml 2.9.1 (ISC licence) and fflate ' +
      '0.8.3 (MIT licence), source https://github.com/eemeli/yaml and ' +
      'https://github.com/101arrowz/fflate',
  ],
};
