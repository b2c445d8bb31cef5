/** Calculations about a ferment's carbon dioxide and heat, and about what barrels lose. */
import { litresPerBarrelMonth, nextTopping, percentPerYear, REPORTED_PERCENT_A_YEAR } from '../evaporation.ts';
import {
  airBroughtTo,
  carbonDioxideOf,
  carbonDioxidePerHour,
  DAY_LIMIT_PPM,
  heatingPower,
  heatOf,
  litresOfCarbonDioxide,
  sugarLossOf,
  warmingOf,
} from '../gas-and-heat.ts';
import { andThen, isRefused, outside, refuse, type Worked } from '../worked.ts';
import type { Answer, Calculation, Figure, Given, Input } from './calculation.ts';

/** Shown with everything that has to do with a ferment's gas: the caution that must never be missing. */
const CARBON_DIOXIDE_CAUTION = [
  'Carbon dioxide has no smell that warns, and kills within minutes. While wine ferments, and long after, it lies in tanks, bins, presses, pits and low corners.',
  'Fresh air before people, a meter that measures carbon dioxide, never alone. Never lean into a tank or bin with head or arms, never climb in, never go in after somebody who has fallen: call for help.',
  'Whether a space may be entered is told by a calibrated meter and by trained people with a permit, never by a figure worked out here; a candle tells nothing.',
  '5,000 ppm is the most a working day may average, 30,000 ppm a quarter of an hour, 40,000 ppm is immediately dangerous (NIOSH, IDLH page 124-38-9; 29 CFR 1910.1000); confined spaces: 29 CFR 1910.146. Your local code and licensed, trained people come first.',
].join(' ');

const given = (all: Given, name: string): number => all.figures[name] ?? Number.NaN;

/** Sugar loss in g/L an hour as given, by itself or as a fall in °Bx a day; undefined where neither is. */
function sugarLoss(all: Given): Worked<number> | undefined {
  const direct = all.figures['sugar-loss'];
  const brixPerDay = all.figures['brix-per-day'];
  if (direct !== undefined && brixPerDay !== undefined)
    return refuse('give the sugar loss or the fall in °Bx, not both');
  return brixPerDay === undefined ? direct : sugarLossOf(brixPerDay);
}

const BRIX_REMARK = 'A °Bx of the hydrometer is taken as 9 g/L of sugar fermented, within a tenth.';

function rateRemarks(all: Given): string[] {
  return all.figures['brix-per-day'] === undefined ? [] : [BRIX_REMARK];
}

/** The hourly gas of a loss: mass, then volume. */
function hourlyGas(loss: number, litres: number, celsius: number): Worked<Figure[]> {
  return andThen(carbonDioxidePerHour(loss, litres), (grams) =>
    andThen(litresOfCarbonDioxide(grams, celsius), (gas) => [
      { say: 'carbon dioxide an hour', value: grams / 1000, unit: 'kg', decimals: 2 },
      { say: 'as gas, an hour', value: gas, unit: 'L', decimals: 0 },
    ]),
  );
}

function fermentGas(all: Given): Worked<Answer> {
  const sugar = given(all, 'sugar');
  const litres = given(all, 'volume');
  const celsius = all.figures.temp ?? 20;
  const wrong = outside(sugar, 0, 500, 'sugar', 'g/L') ?? outside(litres, 0, 1e8, 'a volume', 'L');
  if (wrong !== undefined) return wrong;
  const grams = carbonDioxideOf(sugar * litres);
  if (isRefused(grams)) return grams;
  const gas = litresOfCarbonDioxide(grams, celsius);
  if (isRefused(gas)) return gas;
  const air = airBroughtTo(gas, DAY_LIMIT_PPM);
  if (isRefused(air)) return air;
  const loss = sugarLoss(all);
  const hourly = loss === undefined ? [] : andThen(loss, (rate) => hourlyGas(rate, litres, celsius));
  return andThen(hourly, (figures) => ({
    figures: [
      { say: 'carbon dioxide of all this sugar', value: grams / 1000, unit: 'kg', decimals: 1 },
      { say: `as gas at ${celsius} °C`, value: gas / 1000, unit: 'm3', decimals: 1 },
      { say: 'air it would bring to 5,000 ppm, mixed evenly', value: air / 1000, unit: 'm3', decimals: 0 },
      ...figures,
    ],
    method: '0.4886 g of carbon dioxide a gram of sugar, ideal gas at one atmosphere',
    remarks: [
      'The air is a picture of how much gas this is, no design of a ventilation: the gas lies low and does not mix evenly.',
      'A little less is given off: some sugar goes elsewhere, and a few g/L of gas stay in the wine.',
      ...rateRemarks(all),
    ],
  }));
}

function fermentHeat(all: Given): Worked<Answer> {
  const litres = given(all, 'volume');
  const { sugar } = all.figures;
  const loss = sugarLoss(all);
  if (loss === undefined) return refuse('give the sugar loss, or the fall in °Bx a day');
  const whole: Worked<Figure[]> =
    sugar === undefined
      ? []
      : andThen(warmingOf(sugar), (warmer) =>
          andThen(heatOf(sugar * litres), (heat) => [
            { say: 'warmer in all if no heat left it', value: warmer, unit: '°C', decimals: 0 },
            { say: 'heat in all', value: heat / 1000, unit: 'MJ', decimals: 0 },
          ]),
        );
  return andThen(loss, (rate) =>
    andThen(heatingPower(rate, litres), (power) =>
      andThen(warmingOf(rate * 24), (aDay) =>
        andThen(whole, (rest) => ({
          figures: [
            { say: 'heat, and the cooling that holds the temperature', value: power, unit: 'kW', decimals: 2 },
            { say: 'warmer in a day if no heat left it', value: aDay, unit: '°C', decimals: 1 },
            ...rest,
          ],
          method: '100 kJ a mole of sugar (0.557 kJ a gram), 3.9 kJ a litre and degree',
          remarks: [
            'Good to 5 % at the best. Evaporation, the walls and the room carry some heat off; pumps and warm rooms add some.',
            'A cooler that is to bring the temperature down needs more than this.',
            ...rateRemarks(all),
          ],
        })),
      ),
    ),
  );
}

function toppingRate(all: Given): Worked<Answer> {
  const topping = {
    litres: given(all, 'topped'),
    days: given(all, 'days'),
    barrels: given(all, 'barrels'),
    barrelLitres: all.figures['barrel-volume'] ?? 225,
  };
  const further = all.figures['next-days'] ?? 30;
  const [low, high] = REPORTED_PERCENT_A_YEAR;
  return andThen(litresPerBarrelMonth(topping), (perMonth) =>
    andThen(percentPerYear(topping), (perYear) =>
      andThen(nextTopping(topping, further), (next) => ({
        figures: [
          { say: 'lost by each barrel in a month', value: perMonth, unit: 'L', decimals: 2 },
          { say: 'lost in a year', value: perYear, unit: '%', decimals: 1 },
          { say: `topping wine needed in ${further} days`, value: next, unit: 'L', decimals: 1 },
        ],
        method: 'what was topped, over barrels and days',
        remarks: [
          `Reported are ${low} to ${high} % a year, 4 to 5 usually; less in damp cellars, more in dry and warm ones.`,
          ...(perYear > high
            ? ['This is more than is reported: look for leaks, or for young wine that gives off gas.']
            : []),
          ...(perYear < low ? ['This is less than is reported: was every topping written down?'] : []),
          'A new barrel first soaks up some litres, and young wine gives off gas: the first months run higher.',
        ],
      })),
    ),
  );
}

const VOLUME: Input = {
  name: 'volume',
  say: 'volume of the must',
  unit: 'L',
  dimensions: ['volume'],
  record: 'volume',
};
const SUGAR: Input = {
  name: 'sugar',
  say: 'sugar yet to ferment',
  unit: 'g/L',
  dimensions: ['mass per volume'],
  record: 'glucose fructose',
};
const LOSSES: readonly Input[] = [
  { name: 'sugar-loss', say: 'sugar lost in an hour, g/L', unit: 'g/L/h', optional: true },
  { name: 'brix-per-day', say: 'fall of the hydrometer in a day, °Bx', unit: '°Bx', optional: true },
];

const MASSES = 'IUPAC abridged standard atomic weights (2021): C₆H₁₂O₆ → 2 C₂H₅OH + 2 CO₂';

export const GAS_AND_HEAT_CALCULATIONS: readonly Calculation[] = [
  {
    name: 'ferment-gas',
    say: 'The carbon dioxide a must gives off: in all, by the hour, and how much air it would spoil',
    inputs: [
      SUGAR,
      VOLUME,
      { name: 'temp', say: 'temperature of the gas', unit: 'C', dimensions: ['temperature'], usual: 20 },
      ...LOSSES,
    ],
    formula:
      'CO₂ = 0.4886 × sugar × volume; gas = CO₂ / 44.009 × R × (temp + 273.15) / 101.325 kPa; air = gas / 0.005; by the hour with sugar-loss, or 9 g/L × brix-per-day / 24, in place of sugar',
    range: 'Sugar from 0 to 500 g/L, 0 to 50 °C, a loss to 4 g/L an hour or 10 °Bx a day. Outside, no figure.',
    sources: [
      MASSES,
      'SI (2019) for the gas constant',
      'NIOSH, IDLH page 124-38-9, and 29 CFR 1910.1000 for 5,000 ppm',
    ],
    caution: CARBON_DIOXIDE_CAUTION,
    example: '--sugar "220 g/L" --volume "1000 L" --brix-per-day 3',
    work: fermentGas,
  },
  {
    name: 'ferment-heat',
    say: 'The heat of a ferment, the cooling that holds its temperature, and how it would warm without',
    inputs: [VOLUME, ...LOSSES, { ...SUGAR, optional: true }],
    formula:
      'kW = sugar-loss × volume × 100 kJ / 180.16 g / 3600 s; warming = sugar × 0.557 kJ/g / 3.9 kJ/L/K; sugar-loss = 9 g/L × brix-per-day / 24',
    range: 'A loss to 4 g/L an hour or 10 °Bx a day, sugar to 500 g/L. Outside, no figure. To 5 %, no nearer.',
    sources: [
      'About 24 kcal (100 kJ) a mole of sugar, "generally accepted": as cited with S. Colombié, S. Malherbe & J.-M. Sablayrolles, Food Control 18 (2007) 953-960',
      MASSES,
      'Heat capacity 3.7 to 4.0 kJ/L/K: from memory',
    ],
    caution: CARBON_DIOXIDE_CAUTION,
    example: '--volume "5000 L" --brix-per-day 3 --sugar "220 g/L"',
    work: fermentHeat,
  },
  {
    name: 'topping-rate',
    say: 'What barrels lose, from what it took to top them, and what the next topping will want',
    inputs: [
      { name: 'topped', say: 'wine topped, all barrels together', unit: 'L', dimensions: ['volume'] },
      { name: 'days', say: 'time from full to full', unit: 'days', dimensions: ['duration'] },
      { name: 'barrels', say: 'number of barrels', unit: '' },
      { name: 'barrel-volume', say: 'what one barrel holds', unit: 'L', dimensions: ['volume'], usual: 225 },
      { name: 'next-days', say: 'time until the next topping', unit: 'days', dimensions: ['duration'], usual: 30 },
    ],
    formula:
      'L a barrel and month = topped / barrels / days × 30.44; % a year = 100 × topped / (barrels × barrel-volume) × 365.25 / days; next = topped / days × next-days',
    range: 'From 1 day to ten years. Under a month it tells little.',
    sources: [
      'Arithmetic',
      'Reported losses: 1 to 9 % a year, 4 to 5 usually, a wine trader’s glossary; 5 to 6 %, a growers’ magazine (2021)',
    ],
    example: '--topped "24 L" --days "28 days" --barrels 30',
    work: toppingRate,
  },
];
