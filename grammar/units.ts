/**
 * The unit words of the language as data: one row a unit, with every accepted spelling and its exact factor.
 *
 * Factors are exact rationals. Sources: NIST Handbook 44, appendix C, and NIST SP 811, appendix B (gallon, pound, ton,
 * inch, acre, pound-force per square inch); the SI for the rest. UCUM codes follow the UCUM essence, version 2.2.
 */

/** What a unit measures; two units convert into one another only within one dimension. */
export type Dimension =
  | 'volume'
  | 'mass'
  | 'temperature'
  | 'length'
  | 'area'
  | 'duration'
  | 'pressure'
  | 'mass per volume'
  | 'mass per mass'
  | 'volume per volume'
  | 'volume per length'
  | 'volume per mass'
  | 'mass per area'
  | 'volume per area'
  | 'volume per duration'
  | 'percent'
  | 'count'
  | 'turbidity'
  | 'power';

/** Which custom a unit belongs to: reports in one system warn about none, they only choose by it. */
export type UnitSystem = 'metric' | 'us' | 'imperial' | 'any';

export interface UnitWord {
  /** The unit as the tidy form prints it. */
  readonly symbol: string;
  /** Every accepted spelling of this unit, the symbol first. */
  readonly words: readonly string[];
  readonly dimension: Dimension;
  /** (written value + offset) × num / den = base units of the dimension. */
  readonly num: bigint;
  readonly den: bigint;
  /** Added to the written value before the factor. Only temperatures have one; a difference of temperature leaves it out. */
  readonly offset?: bigint;
  /** Plain words, in the plural: `US gallons`. */
  readonly say: string;
  readonly system: UnitSystem;
  /** The UCUM code, where UCUM has one. */
  readonly ucum?: string;
}

/** The base unit of each dimension, in plain words. Quantities are whole numbers of these. */
export const BASE: Record<Dimension, string> = {
  volume: 'microlitres',
  mass: 'micrograms',
  temperature: 'thousandths of a degree Celsius',
  length: 'micrometres',
  area: 'square millimetres',
  duration: 'seconds',
  pressure: 'pascals',
  'mass per volume': 'nanograms per litre',
  'mass per mass': 'micrograms per kilogram',
  'volume per volume': 'nanolitres per litre',
  'volume per length': 'microlitres per metre',
  'volume per mass': 'nanolitres per kilogram',
  'mass per area': 'micrograms per square metre',
  'volume per area': 'microlitres per square metre',
  'volume per duration': 'microlitres per second',
  percent: 'parts per million',
  count: 'pieces',
  turbidity: 'thousandths of a turbidity unit',
  power: 'milliwatts',
};

/** A US gallon in nanolitres: 231 cubic inches. */
const GALLON_NL = 3_785_411_784n;
/** An avoirdupois pound and a short ton of 2000 pounds, in micrograms. */
const POUND_UG = 453_592_370n;
const SHORT_TON_UG = 2000n * POUND_UG;
/** The international acre, 4046.8564224 m², in units of 10⁻⁷ m². UCUM's acre is the survey acre, so it gets no code. */
const ACRE_E7 = 40_468_564_224n;

type Factor = readonly [num: bigint, den: bigint];

/** symbol, other spellings parted by strokes (a blank inside one is part of it), factor, plain words, system, UCUM, offset */
type Row = readonly [string, string, Factor, string, UnitSystem, string?, bigint?];

const ROWS: readonly (readonly [Dimension, readonly Row[]])[] = [
  // Volume, in microlitres. `gal` is always the US wine gallon, the unit of US wine records (27 CFR 24.300).
  [
    'volume',
    [
      ['L', 'l|ℓ|litre|litres|liter|liters|ltr', [1_000_000n, 1n], 'litres', 'metric', 'L'],
      ['hL', 'hectolitre|hectolitres|hectoliter|hectoliters', [100_000_000n, 1n], 'hectolitres', 'metric', 'hL'],
      ['dL', 'decilitre|decilitres|deciliter|deciliters', [100_000n, 1n], 'decilitres', 'metric', 'dL'],
      ['cL', 'centilitre|centilitres|centiliter|centiliters', [10_000n, 1n], 'centilitres', 'metric', 'cL'],
      ['mL', 'ml|millilitre|millilitres|milliliter|milliliters|cm3|cm³|cc', [1000n, 1n], 'millilitres', 'metric', 'mL'],
      ['µL', 'μL|uL|microlitre|microlitres|microliter|microliters', [1n, 1n], 'microlitres', 'metric', 'uL'],
      [
        'm3',
        'm³|cubic-metre|cubic-metres|cubic-meter|cubic-meters',
        [1_000_000_000n, 1n],
        'cubic metres',
        'metric',
        'm3',
      ],
      ['ft3', 'ft³|cu-ft|cubic-foot|cubic-feet', [28_316_846_592n, 1000n], 'cubic feet', 'us', '[cft_i]'],
      ['gal', 'gals|gallon|gallons|us-gal|US-gal', [GALLON_NL, 1000n], 'US gallons', 'us', '[gal_us]'],
      [
        'imp-gal',
        'imp gal|imperial-gallon|imperial-gallons|imperial gallon|imperial gallons|uk-gal',
        [4_546_090n, 1n],
        'imperial gallons',
        'imperial',
        '[gal_br]',
      ],
      ['qt', 'qts|quart|quarts', [GALLON_NL, 4000n], 'US quarts', 'us', '[qt_us]'],
      ['pt', 'pts|pint|pints', [GALLON_NL, 8000n], 'US pints', 'us', '[pt_us]'],
      [
        'fl-oz',
        'fl oz|floz|fluid-ounce|fluid-ounces|fluid ounce|fluid ounces',
        [GALLON_NL, 128_000n],
        'US fluid ounces',
        'us',
        '[foz_us]',
      ],
    ],
  ],
  // Mass, in micrograms.
  [
    'mass',
    [
      [
        'kg',
        'kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes',
        [1_000_000_000n, 1n],
        'kilograms',
        'metric',
        'kg',
      ],
      ['g', 'gram|grams|gramme|grammes', [1_000_000n, 1n], 'grams', 'metric', 'g'],
      ['mg', 'milligram|milligrams', [1000n, 1n], 'milligrams', 'metric', 'mg'],
      ['µg', 'μg|ug|microgram|micrograms', [1n, 1n], 'micrograms', 'metric', 'ug'],
      [
        't',
        'tonne|tonnes|metric-ton|metric-tons|metric ton|metric tons',
        [1_000_000_000_000n, 1n],
        'tonnes',
        'metric',
        't',
      ],
      ['lb', 'lbs|pound|pounds', [POUND_UG, 1n], 'pounds', 'us', '[lb_av]'],
      ['oz', 'ounce|ounces', [POUND_UG, 16n], 'ounces', 'us', '[oz_av]'],
      ['short-ton', 'short-tons|short ton|short tons', [SHORT_TON_UG, 1n], 'short tons', 'us', '[ston_av]'],
      ['long-ton', 'long-tons|long ton|long tons', [2240n * POUND_UG, 1n], 'long tons', 'imperial', '[lton_av]'],
    ],
  ],
  // Temperature, in thousandths of a degree Celsius: (F − 32) × 5/9.
  [
    'temperature',
    [
      ['C', '°C|ºC|℃|degC|celsius|Celsius', [1000n, 1n], 'degrees Celsius', 'metric', 'Cel'],
      ['F', '°F|ºF|℉|degF|fahrenheit|Fahrenheit', [5000n, 9n], 'degrees Fahrenheit', 'us', '[degF]', -32n],
    ],
  ],
  // Length, in micrometres.
  [
    'length',
    [
      ['m', 'metre|metres|meter|meters', [1_000_000n, 1n], 'metres', 'metric', 'm'],
      ['cm', 'centimetre|centimetres|centimeter|centimeters', [10_000n, 1n], 'centimetres', 'metric', 'cm'],
      ['mm', 'millimetre|millimetres|millimeter|millimeters', [1000n, 1n], 'millimetres', 'metric', 'mm'],
      ['km', 'kilometre|kilometres|kilometer|kilometers', [1_000_000_000n, 1n], 'kilometres', 'metric', 'km'],
      ['in', 'inch|inches', [25_400n, 1n], 'inches', 'us', '[in_i]'],
      ['ft', 'foot|feet', [304_800n, 1n], 'feet', 'us', '[ft_i]'],
    ],
  ],
  // Area, in square millimetres. The acre is the international one, which a survey acre exceeds by four in a million.
  [
    'area',
    [
      ['ha', 'hectare|hectares', [10_000_000_000n, 1n], 'hectares', 'metric', 'har'],
      ['acre', 'acres|ac', [ACRE_E7, 10n], 'acres', 'us'],
      [
        'm2',
        'm²|square-metre|square-metres|square-meter|square-meters',
        [1_000_000n, 1n],
        'square metres',
        'metric',
        'm2',
      ],
      ['ft2', 'ft²|sq-ft|square-foot|square-feet', [92_903_040_000n, 1_000_000n], 'square feet', 'us', '[sft_i]'],
    ],
  ],
  // Duration, in seconds. Months and years have no fixed length and are refused below.
  [
    'duration',
    [
      ['s', 'sec|secs|second|seconds', [1n, 1n], 'seconds', 'any', 's'],
      ['min', 'mins|minute|minutes', [60n, 1n], 'minutes', 'any', 'min'],
      ['h', 'hr|hrs|hour|hours', [3600n, 1n], 'hours', 'any', 'h'],
      ['days', 'd|day', [86_400n, 1n], 'days', 'any', 'd'],
      ['weeks', 'wk|wks|week', [604_800n, 1n], 'weeks', 'any', 'wk'],
    ],
  ],
  // Pressure, in pascals, above that of the room unless the line says otherwise.
  [
    'pressure',
    [
      ['bar', 'bars', [100_000n, 1n], 'bar', 'metric', 'bar'],
      ['mbar', 'millibar|millibars|hPa', [100n, 1n], 'millibar', 'metric', 'mbar'],
      ['kPa', 'kilopascal|kilopascals', [1000n, 1n], 'kilopascals', 'metric', 'kPa'],
      [
        'psi',
        'lb/in2|pounds-per-square-inch',
        [44_482_216_152_605n, 6_451_600_000n],
        'pounds per square inch',
        'us',
        '[psi]',
      ],
      ['atm', 'atmosphere|atmospheres', [101_325n, 1n], 'atmospheres', 'any', 'atm'],
    ],
  ],
  // Mass per volume, in nanograms per litre. `ppm` in a liquid is taken as milligrams per litre, as the trade does.
  [
    'mass per volume',
    [
      [
        'g/L',
        'g/1000 mL|g/1000mL|kg/m3|kg/m³|kg/1000 L|kg/1000L|g/dm3',
        [1_000_000_000n, 1n],
        'grams per litre',
        'metric',
        'g/L',
      ],
      ['mg/L', 'g/m3|g/m³|g/1000 L|g/1000L', [1_000_000n, 1n], 'milligrams per litre', 'metric', 'mg/L'],
      ['ppm', '', [1_000_000n, 1n], 'parts per million, taken as milligrams per litre', 'any', 'mg/L'],
      ['µg/L', 'μg/L|ug/L', [1000n, 1n], 'micrograms per litre', 'metric', 'ug/L'],
      ['ppb', '', [1000n, 1n], 'parts per billion, taken as micrograms per litre', 'any', 'ug/L'],
      ['ng/L', '', [1n, 1n], 'nanograms per litre', 'metric', 'ng/L'],
      ['kg/L', 'g/mL|g/cm3|g/cm³', [1_000_000_000_000n, 1n], 'kilograms per litre', 'metric', 'kg/L'],
      ['kg/hL', '', [10_000_000_000n, 1n], 'kilograms per hectolitre', 'metric', 'kg/hL'],
      ['g/hL', 'g/100 L|g/100L', [10_000_000n, 1n], 'grams per hectolitre', 'metric', 'g/hL'],
      ['mg/hL', '', [10_000n, 1n], 'milligrams per hectolitre', 'metric', 'mg/hL'],
      ['g/100 mL', 'g/100mL|g/dL', [10_000_000_000n, 1n], 'grams per 100 millilitres', 'metric', 'g/dL'],
      ['mg/100 mL', 'mg/100mL|mg/dL', [10_000_000n, 1n], 'milligrams per 100 millilitres', 'metric', 'mg/dL'],
      ['g/gal', '', [10n ** 18n, GALLON_NL], 'grams per US gallon', 'us', 'g/[gal_us]'],
      ['mg/gal', '', [10n ** 15n, GALLON_NL], 'milligrams per US gallon', 'us', 'mg/[gal_us]'],
      ['oz/gal', '', [POUND_UG * 10n ** 12n, 16n * GALLON_NL], 'ounces per US gallon', 'us', '[oz_av]/[gal_us]'],
      ['lb/gal', '', [POUND_UG * 10n ** 12n, GALLON_NL], 'pounds per US gallon', 'us', '[lb_av]/[gal_us]'],
      [
        'lb/1000 gal',
        'lb/1000gal|lb/kgal',
        [POUND_UG * 10n ** 9n, GALLON_NL],
        'pounds per 1000 US gallons',
        'us',
        '[lb_av]/(1000.[gal_us])',
      ],
      [
        'oz/1000 gal',
        'oz/1000gal|oz/kgal',
        [POUND_UG * 10n ** 9n, 16n * GALLON_NL],
        'ounces per 1000 US gallons',
        'us',
        '[oz_av]/(1000.[gal_us])',
      ],
      [
        'g/1000 gal',
        'g/1000gal|g/kgal',
        [10n ** 15n, GALLON_NL],
        'grams per 1000 US gallons',
        'us',
        'g/(1000.[gal_us])',
      ],
    ],
  ],
  // Mass per mass, in micrograms per kilogram: what is added to fruit.
  [
    'mass per mass',
    [
      ['g/kg', '', [1_000_000n, 1n], 'grams per kilogram', 'metric', 'g/kg'],
      ['mg/kg', '', [1000n, 1n], 'milligrams per kilogram', 'metric', 'mg/kg'],
      ['kg/t', 'kg/1000 kg|kg/1000kg', [1_000_000n, 1n], 'kilograms per tonne', 'metric', 'kg/t'],
      ['g/t', 'g/1000 kg|g/1000kg', [1000n, 1n], 'grams per tonne', 'metric', 'g/t'],
      ['g/100 kg', 'g/100kg', [10_000n, 1n], 'grams per 100 kilograms', 'metric', 'g/(100.kg)'],
      ['kg/100 kg', 'kg/100kg', [10_000_000n, 1n], 'kilograms per 100 kilograms', 'metric', 'kg/(100.kg)'],
      ['lb/short-ton', 'lb/short ton', [500_000n, 1n], 'pounds per short ton', 'us', '[lb_av]/[ston_av]'],
      ['oz/short-ton', 'oz/short ton', [31_250n, 1n], 'ounces per short ton', 'us', '[oz_av]/[ston_av]'],
      ['g/short-ton', 'g/short ton', [10n ** 15n, SHORT_TON_UG], 'grams per short ton', 'us', 'g/[ston_av]'],
    ],
  ],
  // Volume per volume, in nanolitres per litre: liquids added to wine.
  [
    'volume per volume',
    [
      ['mL/L', 'L/1000 L|L/1000L|L/m3', [1_000_000n, 1n], 'millilitres per litre', 'metric', 'mL/L'],
      ['mL/hL', 'mL/100 L|mL/100L', [10_000n, 1n], 'millilitres per hectolitre', 'metric', 'mL/hL'],
      ['L/hL', 'L/100 L|L/100L', [10_000_000n, 1n], 'litres per hectolitre', 'metric', 'L/hL'],
      ['µL/L', 'μL/L|uL/L|mL/1000 L|mL/1000L', [1000n, 1n], 'microlitres per litre', 'metric', 'uL/L'],
      ['mL/gal', '', [10n ** 15n, GALLON_NL], 'millilitres per US gallon', 'us', 'mL/[gal_us]'],
      ['fl-oz/gal', 'fl oz/gal', [7_812_500n, 1n], 'US fluid ounces per US gallon', 'us', '[foz_us]/[gal_us]'],
      [
        'fl-oz/1000 gal',
        'fl-oz/1000gal|fl oz/1000 gal',
        [15_625n, 2n],
        'US fluid ounces per 1000 US gallons',
        'us',
        '[foz_us]/(1000.[gal_us])',
      ],
      [
        'gal/1000 gal',
        'gal/1000gal|gal/kgal',
        [1_000_000n, 1n],
        'US gallons per 1000 US gallons',
        'us',
        '[gal_us]/(1000.[gal_us])',
      ],
    ],
  ],
  // Volume per length, in microlitres per metre: the gauge of a tank.
  [
    'volume per length',
    [
      ['L/cm', '', [100_000_000n, 1n], 'litres per centimetre', 'metric', 'L/cm'],
      ['L/mm', '', [1_000_000_000n, 1n], 'litres per millimetre', 'metric', 'L/mm'],
      ['mL/mm', '', [1_000_000n, 1n], 'millilitres per millimetre', 'metric', 'mL/mm'],
      ['L/m', '', [1_000_000n, 1n], 'litres per metre', 'metric', 'L/m'],
      ['gal/in', '', [GALLON_NL * 10n, 254n], 'US gallons per inch', 'us', '[gal_us]/[in_i]'],
      ['gal/ft', '', [GALLON_NL * 10n, 3048n], 'US gallons per foot', 'us', '[gal_us]/[ft_i]'],
      ['L/in', '', [10_000_000_000n, 254n], 'litres per inch', 'metric', 'L/[in_i]'],
    ],
  ],
  // Volume per mass, in nanolitres per kilogram: juice from fruit, and liquids added to fruit.
  [
    'volume per mass',
    [
      ['L/t', 'L/1000 kg|L/1000kg|mL/kg', [1_000_000n, 1n], 'litres per tonne', 'metric', 'L/t'],
      ['hL/t', '', [100_000_000n, 1n], 'hectolitres per tonne', 'metric', 'hL/t'],
      ['L/kg', '', [1_000_000_000n, 1n], 'litres per kilogram', 'metric', 'L/kg'],
      ['L/100 kg', 'L/100kg', [10_000_000n, 1n], 'litres per 100 kilograms', 'metric', 'L/(100.kg)'],
      ['mL/t', 'mL/1000 kg|mL/1000kg', [1000n, 1n], 'millilitres per tonne', 'metric', 'mL/t'],
      ['mL/100 kg', 'mL/100kg', [10_000n, 1n], 'millilitres per 100 kilograms', 'metric', 'mL/(100.kg)'],
      [
        'gal/short-ton',
        'gal/short ton',
        [GALLON_NL * 10n ** 9n, SHORT_TON_UG],
        'US gallons per short ton',
        'us',
        '[gal_us]/[ston_av]',
      ],
      ['mL/short-ton', 'mL/short ton', [10n ** 15n, SHORT_TON_UG], 'millilitres per short ton', 'us', 'mL/[ston_av]'],
      [
        'fl-oz/short-ton',
        'fl oz/short ton',
        [GALLON_NL * 10n ** 9n, 128n * SHORT_TON_UG],
        'US fluid ounces per short ton',
        'us',
        '[foz_us]/[ston_av]',
      ],
    ],
  ],
  // Crops: mass per area in micrograms per square metre, volume per area in microlitres per square metre.
  [
    'mass per area',
    [
      ['t/ha', '', [100_000_000n, 1n], 'tonnes per hectare', 'metric', 't/har'],
      ['kg/ha', '', [100_000n, 1n], 'kilograms per hectare', 'metric', 'kg/har'],
      ['kg/m2', 'kg/m²', [1_000_000_000n, 1n], 'kilograms per square metre', 'metric', 'kg/m2'],
      ['short-ton/acre', 'short ton/acre', [SHORT_TON_UG * 10n ** 7n, ACRE_E7], 'short tons per acre', 'us'],
      ['lb/acre', '', [POUND_UG * 10n ** 7n, ACRE_E7], 'pounds per acre', 'us'],
    ],
  ],
  [
    'volume per area',
    [
      ['hL/ha', '', [10_000n, 1n], 'hectolitres per hectare', 'metric', 'hL/har'],
      ['L/ha', '', [100n, 1n], 'litres per hectare', 'metric', 'L/har'],
      ['gal/acre', '', [GALLON_NL * 10n ** 4n, ACRE_E7], 'US gallons per acre', 'us'],
    ],
  ],
  // Flow, in microlitres per second: pumps, filters and gas.
  [
    'volume per duration',
    [
      ['L/min', '', [50_000n, 3n], 'litres per minute', 'metric', 'L/min'],
      ['L/h', 'L/hr', [2500n, 9n], 'litres per hour', 'metric', 'L/h'],
      ['hL/h', 'hL/hr', [250_000n, 9n], 'hectolitres per hour', 'metric', 'hL/h'],
      ['gal/min', 'gpm', [GALLON_NL, 60_000n], 'US gallons per minute', 'us', '[gal_us]/min'],
    ],
  ],
  [
    'percent',
    [
      ['%', 'percent|per-cent', [10_000n, 1n], 'per cent', 'any', '%'],
      ['%vol', '% vol|%ABV|% ABV|%abv', [10_000n, 1n], 'per cent by volume', 'any', '%{vol}'],
    ],
  ],
  ['count', [['times', 'time', [1n, 1n], 'times', 'any']]],
  ['turbidity', [['NTU', 'FNU', [1000n, 1n], 'turbidity units', 'any', '[NTU]']]],
  [
    'power',
    [
      ['W', 'watt|watts', [1000n, 1n], 'watts', 'any', 'W'],
      ['kW', 'kilowatt|kilowatts', [1_000_000n, 1n], 'kilowatts', 'any', 'kW'],
    ],
  ],
];

function unit(dimension: Dimension, row: Row): UnitWord {
  const [symbol, spellings, [num, den], say, system, ucum, offset] = row;
  const words = spellings === '' ? [symbol] : [symbol, ...spellings.split('|')];
  return {
    symbol,
    words,
    dimension,
    num,
    den,
    say,
    system,
    ...(ucum === undefined ? {} : { ucum }),
    ...(offset === undefined ? {} : { offset }),
  };
}

/** Every unit of the language. */
export const UNITS: readonly UnitWord[] = ROWS.flatMap(([dimension, rows]) => rows.map((row) => unit(dimension, row)));

const WHICH_TON = 'a ton may be short (907.18474 kg), long (1016.0469088 kg) or metric (1000 kg)';
const KITCHEN = 'a kitchen measure differs from country to country';
const NO_FIXED_LENGTH = 'has no fixed length';
const FIELD_FIRST = 'the field is named first';

/**
 * Words that look like units and are refused, with the reason and what to write instead.
 * A key with a capital letter is refused in that spelling only; a key in lower case is refused in any case.
 */
export const REFUSED_UNITS: ReadonlyMap<string, string> = new Map([
  ...['ton', 'tons'].map((word) => [word, `${WHICH_TON}: write \`short-ton\`, \`long-ton\` or \`t\``] as const),
  ['T', `${WHICH_TON}, and the tonne's sign is a small t: write \`short-ton\`, \`long-ton\` or \`t\``],
  ...['gal/ton', 'gallons/ton', 'gal/tons'].map(
    (word) => [word, `${WHICH_TON}: write \`gal/short-ton\` or \`L/t\``] as const,
  ),
  ['l/ton', `${WHICH_TON}: write \`L/t\` or \`gal/short-ton\``],
  ['ml/ton', `${WHICH_TON}: write \`mL/t\` or \`mL/short-ton\``],
  ['lb/ton', `${WHICH_TON}: write \`lb/short-ton\``],
  ['oz/ton', `${WHICH_TON}: write \`oz/short-ton\``],
  ['g/ton', `${WHICH_TON}: write \`g/t\` or \`g/short-ton\``],
  ['kg/ton', `${WHICH_TON}: write \`kg/t\``],
  ...['ton/acre', 'tons/acre'].map((word) => [word, `${WHICH_TON}: write \`short-ton/acre\` or \`t/ha\``] as const),
  ...['ton/ha', 'tons/ha'].map((word) => [word, `${WHICH_TON}: write \`t/ha\``] as const),
  ...['ML', 'Ml'].map(
    (word) =>
      [
        word,
        'a capital M means a million, a small m a thousandth: write `mL` for millilitres, or `m3` or `L`',
      ] as const,
  ),
  ...['MG', 'Mg'].map(
    (word) =>
      [word, 'a capital M means a million, a small m a thousandth: write `mg` for milligrams, `t` for tonnes'] as const,
  ),
  ...['cup', 'cups', 'tsp', 'tsps', 'tbsp', 'tbsps', 'teaspoon', 'teaspoons', 'tablespoon', 'tablespoons'].map(
    (word) => [word, `${KITCHEN}: write \`mL\` or \`fl-oz\`, or weigh it and write \`g\` or \`oz\``] as const,
  ),
  ['gr', 'may be grams or grains: write `g`, or `mg` (a grain is 64.79891 mg)'],
  ...['grain', 'grains'].map((word) => [word, 'write `mg` (a grain is 64.79891 mg)'] as const),
  ...['cwt', 'hundredweight', 'hundredweights'].map(
    (word) => [word, 'a hundredweight may be 100 or 112 pounds: write `lb` or `kg`'] as const,
  ),
  ...['quintal', 'quintals', 'qq'].map(
    (word) => [word, 'a quintal may be 100 kg or 100 pounds: write `kg` or `lb`'] as const,
  ),
  ...['bbl', 'bbls'].map((word) => [word, 'a barrel has no fixed size: write `L` or `gal`'] as const),
  ...['month', 'months', 'mo'].map(
    (word) => [word, `a month ${NO_FIXED_LENGTH}: write \`days\` or \`weeks\``] as const,
  ),
  ...['year', 'years', 'yr', 'yrs'].map(
    (word) => [word, `a year ${NO_FIXED_LENGTH}: write \`days\` or \`weeks\``] as const,
  ),
  ['K', 'cellar temperatures are written in `C` or `F` (0 C is 273.15 K)'],
  ['°', 'degrees of what: write `C` or `F`; for Brix the field is named first, `brix 24.6`'],
  ...['bx', '°bx', 'ºbx', '°brix'].map((word) => [word, `${FIELD_FIRST}: write \`brix 24.6\``] as const),
  ...['°oe', 'ºoe', 'oe'].map((word) => [word, `${FIELD_FIRST}: write \`oechsle 92\``] as const),
  ...['°be', '°bé', 'ºbé'].map((word) => [word, `${FIELD_FIRST}: write \`baume 13.1\``] as const),
]);

const exact = new Map<string, UnitWord>();
/** Spellings without regard to case; `undefined` where two different units share one. */
const folded = new Map<string, UnitWord | undefined>();
for (const row of UNITS) {
  for (const word of row.words) {
    exact.set(word, row);
    const small = word.toLowerCase();
    folded.set(small, folded.has(small) && folded.get(small) !== row ? undefined : row);
  }
}

/** Why a word is refused as a unit and what to write instead, or `undefined` for a word that is not refused. */
export function whyRefused(word: string): string | undefined {
  return REFUSED_UNITS.get(word) ?? (exact.has(word) ? undefined : REFUSED_UNITS.get(word.toLowerCase()));
}

/**
 * The unit a word means: by exact spelling first, then without regard to case where that is unambiguous, then for a
 * compound by any spelling of its two parts (`grams/litre` is `g/L`). Refused words give `undefined`. Runs of blanks
 * count as one.
 */
export function findUnit(word: string): UnitWord | undefined {
  const found = exact.get(word);
  if (found !== undefined) return found;
  if (whyRefused(word) !== undefined) return undefined;
  const plain = word
    .normalize('NFC')
    .replace(/\s+/gu, ' ')
    .replace(/ ?\/ ?/u, '/')
    .trim();
  return exact.get(plain) ?? folded.get(plain.toLowerCase()) ?? findCompound(plain);
}

const COMPOUND = /^([^/]+)\/([0-9]+)? ?([^/0-9][^/]*)$/u;

function findCompound(word: string): UnitWord | undefined {
  const match = COMPOUND.exec(word);
  if (match === null) return undefined;
  const [, top = '', many, bottom = ''] = match;
  const over = findSimple(top);
  const under = findSimple(bottom);
  if (over === undefined || under === undefined) return undefined;
  return exact.get(`${over.symbol}/${many === undefined ? '' : `${many} `}${under.symbol}`);
}

function findSimple(word: string): UnitWord | undefined {
  return exact.get(word) ?? (whyRefused(word) === undefined ? folded.get(word.toLowerCase()) : undefined);
}
