// SPDX-License-Identifier: GPL-3.0-or-later
// Texts of the day at the bench.
'use strict';

// How a reading is taken under power, once the meter is connected so.
const underPower = (connect) => (how) => [
  connect,
  `Step back. Switch on ${how}. Read; touch nothing.`,
  'Switch off, plug out, discharge.',
  'Type what it read.',
];

Object.assign(words, {
  days: { 1: '1 Dead', 2: '2 On the lamp', 3: '3 Full line', 4: '4 One-hour soak' },
  onDay: { 1: 'dead', 2: 'on the lamp', 3: 'full line', 4: 'after an hour' },
  whichDay: 'Where are you?',
  dayCautions: {
    1: [
      'In this step the plug stays out of the wall. Discharge every filter capacitor and measure ' +
        'that it is under 30 V before the ohmmeter goes on.',
    ],
    2: [
      'A lamp in series limits current; it stops no shock. Off at once when it stays bright, ' +
        'at smoke, at red rectifier plates.',
      'Clip the meter on with the set dead. Switch on at arm\u2019s length and read. Touch ' +
        'nothing while power is on.',
    ],
    3: [
      'Full line only when the lamp step went well. Never alone, one hand in the pocket, eye ' +
        'protection on.',
      'Clip the meter on with the set dead. Switch on at arm\u2019s length and read. Touch ' +
        'nothing while power is on.',
    ],
    4: [
      'Stay with the set for the whole hour, an extinguisher for live equipment within reach. ' +
        'Feel for warmth only with the plug out and the capacitors discharged.',
    ],
  },
  dayLive:
    'No power transformer, or not sure: the chassis may be live, switched off too. Isolation ' +
    'transformer, no earth, no earthed instrument.',
  expectLater: 'What to expect is still being worked out. You can begin to measure.',
  soFar: 'The answer so far',
  taken: (done, all) => `${done} of ${all} readings taken.`,
  stopHere: 'Stop here, plug out, and find out why before you go on.',
  toWrong: 'What is wrong?',
  nextReading: (what) => `Next reading \u2013 ${what}`,
  nextDay: (day) => `All read. Go on to ${day}`,
  dayDone: 'All four steps are done. Keep the job: in a year you will want these readings.',
  dayTable: (day) => `Readings of ${day}`,
  dayHeads: ['Reading', 'Expect', 'You read', 'Why'],
  whichLamp: 'Which lamp is in series?',
  lampHint:
    'About the watts of the set, or somewhat more. A carbon or halogen lamp behaves differently.',
  blank: '',
  notTaken: 'left out',
  workingOut: 'being worked out',
  overMeg: 'over 1 Mohm',
  roughly: (v) => `about ${v}`,
  between: (a, b) => (a === b ? a : `${a} to ${b}`),
  nothingToCompare: 'nothing to compare it with yet',
  asExpected: 'as expected',
  noShort: 'not shorted; wait until the reading stops moving',
  lower: 'lower than a sound set reads',
  higher: 'higher than a sound set reads',
  readsLike: (side, fault) => `${side}; this is what \u201C${fault}\u201D reads`,
  touch: (name, is) => `${name} (${is}), by touch`,
  warmths: ['cool', 'warm', 'too hot to hold'],
  humHeard: 'Hum from the speaker',
  hums: ['none', 'low', 'raspy'],
  expect: 'Expect:',
  youRead: 'You read',
  ohmHint: 'For example 7.1 kohm. A bare number is ohms. Write open where nothing shows.',
  numberHint: (unit) =>
    `A bare number is ${{ V: 'volts', A: 'amperes', W: 'watts' }[unit] || unit}.`,
  typeIt: 'Type what the meter reads, or leave the reading out.',
  noComma: 'Use a point for decimals, and no commas: 7.1 or 1200.',
  wrongUnit: (unit) => `This reading is in ${unit}. Write a number, or a number with its unit.`,
  noLess: 'This cannot be below zero.',
  keepReading: 'Write it down',
  skip: 'Leave it out',
  plugFirst: 'You can type once the plug is out.',
  plugOut: 'I have switched off and pulled the plug.',
  noReading: 'This reading is not there any more.',
  back: 'Back to the day',
  howDay: {
    1: '',
    2: 'through the lamp and wait 30 s',
    3: 'at full line and wait a few minutes',
    4: '',
  },
  how: {
    ohm: () => [
      'Plug out of the wall, all tubes cold.',
      'Discharge every filter capacitor; measure that it is under 30 V.',
      'Ohmmeter across, plus lead to the point named first. Wait until the reading stops moving.',
      'Type what it reads.',
    ],
    DC: underPower(
      'Plug out, capacitors discharged: clip the meter on, DC, range above the highest ' +
        'voltage expected.',
    ),
    AC: underPower(
      'Plug out, capacitors discharged: clip the meter on, AC. For ripple through a capacitor ' +
        'of 0.1 uF, 630 V.',
    ),
    lamp: () => [
      'Plug out: clip the meter across the lamp, AC.',
      'Step back. Switch on and wait 30 s. Read; touch nothing.',
      'Switch off, plug out, discharge.',
      'Type what it read.',
    ],
    touch: () => [
      'After an hour under power: switch off, plug out.',
      'Discharge every filter capacitor; measure that it is under 30 V.',
      'Then feel with the back of the hand.',
    ],
    noticed: () => ['Listen with the volume at its lowest.', 'Switch off, plug out.'],
    other: underPower('Plug out: the meter goes between wall and set.'),
  },
});
