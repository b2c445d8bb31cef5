/** Calculations on how fast a ferment goes and when it will be dry, from what is typed. */
import { ratePerDay } from '../ferment-pace.ts';
import { sugarLossOf } from '../gas-and-heat.ts';
import { andThen, firstRefusal, outside, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given } from './calculation.ts';

const figure = (given: Given, name: string): number => given.figures[name] ?? Number.NaN;

/** Readings of a hydrometer that a ferment can show, °Bx. */
const LEAST_BRIX = -4;
const MOST_BRIX = 40;
const brixFits = (value: number, say: string) => outside(value, LEAST_BRIX, MOST_BRIX, say, '°Bx');

const SLUGGISH =
  'Less than 1 °Bx a day above 1 °Bx, or 0.5 °Bx a day below, is called sluggish; in a cool white half of that is usual.';

function rate(given: Given): Worked<Answer> {
  const before = figure(given, 'brix-before');
  const after = figure(given, 'brix');
  const wrong = firstRefusal(brixFits(before, 'the earlier reading'), brixFits(after, 'the later reading'));
  if (wrong !== undefined) return wrong;
  return andThen(ratePerDay(before, after, figure(given, 'hours')), (perDay) => {
    const fall: Figure = { say: 'fall a day', value: perDay, unit: '°Bx', decimals: 2 };
    const error = (Math.SQRT2 * READING_ERROR * 24) / figure(given, 'hours');
    const uncertain = `Each reading is good to about ${READING_ERROR} °Bx, so the rate to ${error.toFixed(2)} °Bx a day (a standard deviation).`;
    if (perDay < 0) {
      return {
        figures: [fall],
        method: 'straight line between the two readings',
        remarks: [
          uncertain,
          'Sugar rose: it does not in a ferment. It soaks out of skins at first, or one of the readings is off.',
        ],
      };
    }
    return andThen(
      sugarLossOf(perDay),
      (loss): Answer => ({
        figures: [fall, { say: 'sugar lost in an hour', value: loss, unit: 'g/L/h', decimals: 2 }],
        method: 'straight line between the two readings; 9 g/L of sugar a °Bx',
        remarks: [uncertain, 'A °Bx of the hydrometer is taken as 9 g/L of sugar fermented, within a tenth.', SLUGGISH],
      }),
    );
  });
}

/** The standard deviation of one reading by hydrometer, °Bx (common practice, no source). */
const READING_ERROR = 0.3;
/** What counts as dry by hydrometer, °Bx. */
const DRY_BRIX = -1;
/** The share of the pace that the later figure goes on with. */
const SLOWED = 0.5;
/** No day is named beyond so many. */
const MOST_DAYS = 60;

function daysToDry(given: Given): Worked<Answer> {
  const now = figure(given, 'brix');
  const perDay = figure(given, 'brix-per-day');
  const target = given.figures['dry-brix'] ?? DRY_BRIX;
  const wrong = firstRefusal(
    brixFits(now, 'the reading'),
    outside(perDay, 0, 10, 'a fall a day', '°Bx'),
    outside(target, LEAST_BRIX, 5, 'dryness', '°Bx'),
  );
  if (wrong !== undefined) return wrong;
  if (now <= target) return refuse(`it reads ${now} °Bx, which is ${target} °Bx or below already`);
  if (perDay === 0) return refuse('it does not fall: no day can be named');
  const days = (now - target) / perDay;
  const later = days / SLOWED;
  if (days > MOST_DAYS) return refuse(`more than ${MOST_DAYS} days at this pace: no day is named so far ahead`);
  return {
    figures: [
      { say: 'at this pace', value: days, unit: 'days', decimals: 1 },
      { say: 'at half this pace from now on', value: later, unit: 'days', decimals: 1 },
    ],
    method: 'straight lines at the pace given and at half of it',
    remarks: [
      'A ferment slows towards its end, so the first figure is early; how much is not known from a rate alone.',
      'With five readings of a vessel or more the record fits a curve, and its page names the days with their interval.',
      'A hydrometer does not show the last sugar: glucose and fructose decide whether a wine is dry.',
    ],
  };
}

const PAMBIANCHI = 'D. Pambianchi, Modern Home Winemaking, as on its page on stuck fermentation, for sluggish';
const SUGAR_SOURCE = 'OIML R 22 and ICUMSA for the sugar of a °Bx in ferment (worked out)';

export const FERMENT_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'ferment-rate',
    say: 'How fast a ferment goes between two readings, in °Bx a day and in sugar an hour',
    inputs: [
      { name: 'brix-before', say: 'the earlier reading of the hydrometer', unit: '°Bx' },
      { name: 'brix', say: 'the later reading', unit: '°Bx', record: 'brix' },
      { name: 'hours', say: 'the time between them', unit: 'h', dimensions: ['duration'] },
    ],
    formula: 'fall a day = (brix-before − brix) × 24 / hours; sugar an hour = 9 g/L × fall a day / 24',
    range:
      'Readings from −4 to 40 °Bx by hydrometer, an hour to sixty days apart; a fall to 10 °Bx a day. Outside, no figure.',
    sources: [PAMBIANCHI, SUGAR_SOURCE, 'the error of a reading is common practice, no source'],
    example: '--brix-before 18.4 --brix 15.1 --hours "24 h"',
    work: rate,
  },
  {
    name: 'days-to-dry',
    say: 'How many days a ferment takes to be dry at the pace it goes',
    inputs: [
      { name: 'brix', say: 'the newest reading of the hydrometer', unit: '°Bx', record: 'brix' },
      { name: 'brix-per-day', say: 'fall of the hydrometer in a day', unit: '°Bx' },
      { name: 'dry-brix', say: 'the reading that counts as dry', unit: '°Bx', usual: DRY_BRIX },
    ],
    formula: 'days = (brix − dry-brix) / brix-per-day',
    range: 'From −4 to 40 °Bx, a fall to 10 °Bx a day, and no more than sixty days ahead. Outside, no figure.',
    sources: ['arithmetic', 'dry at −1.0 °Bx by hydrometer: trade press; common practice'],
    example: '--brix 6.5 --brix-per-day 1.8',
    work: daysToDry,
  },
];
