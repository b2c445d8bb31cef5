/**
 * Exact decimals and exact integer proportions: the arithmetic under every volume and mass.
 *
 * Everything is fast while it stays in safe integers (below 2^53) and falls back to big integers beyond, so a result
 * never depends on rounding inside the computation.
 */

/** A written number: mantissa × 10^−places. The mantissa is a plain number while it is a safe integer. */
export interface Decimal {
  readonly mantissa: number | bigint;
  /** Digits after the decimal point, as written: trailing zeros count. */
  readonly places: number;
}

const SAFE = Number.MAX_SAFE_INTEGER;
const SAFE_BIG = BigInt(SAFE);

/** The most digits a number may have; a longer one is no quantity of a cellar. */
export const MOST_DIGITS = 30;

const DECIMAL = /^([-+−]?)([0-9]*)(?:\.([0-9]+))?$/u;

/**
 * Reads a written number: an optional sign (`-`, `+` or U+2212), digits, and a decimal point with digits behind it.
 * `undefined` for anything else: exponents, decimal commas, separators, and numbers of more than 30 digits.
 */
export function parseDecimal(text: string): Decimal | undefined {
  const match = DECIMAL.exec(text);
  if (match === null) return undefined;
  const [, sign, whole = '', part = ''] = match;
  const digits = whole + part;
  if (digits === '' || digits.length > MOST_DIGITS) return undefined;
  const size = Number(digits);
  const negative = sign === '-' || sign === '−';
  if (size > SAFE) {
    const exact = BigInt(digits);
    return { mantissa: negative ? -exact : exact, places: part.length };
  }
  // Nothing below nothing: a written -0 is 0, so that equal values are identical.
  return { mantissa: negative && size !== 0 ? -size : size, places: part.length };
}

/**
 * The decimal times num/den as a whole number, rounded half to even.
 *
 * @param den Above zero.
 * @throws RangeError when the result lies beyond ±2^53 − 1: callers guard, or use `toIntegerWithin`.
 */
export function toInteger(decimal: Decimal, num: bigint, den: bigint): number {
  const result = toIntegerWithin(decimal, num, den);
  if (result === undefined) throw new RangeError('quantity too large to be held exactly');
  return result;
}

/** As `toInteger`, but `undefined` where the result lies beyond ±2^53 − 1. */
export function toIntegerWithin(decimal: Decimal, num: bigint, den: bigint): number | undefined {
  if (typeof decimal.mantissa === 'number' && decimal.places <= 15) {
    const product = decimal.mantissa * Number(num);
    const divisor = Number(den) * (POWERS[decimal.places] ?? Number.NaN);
    // A double product or divisor at or below 2^53 − 1 is exact; the factors themselves then are too.
    if (Math.abs(product) <= SAFE && divisor <= SAFE) return divideHalfEven(product, divisor);
  }
  const quotient = divideHalfEvenBig(BigInt(decimal.mantissa) * num, den * 10n ** BigInt(decimal.places));
  return quotient > SAFE_BIG || quotient < -SAFE_BIG ? undefined : Number(quotient);
}

const POWERS: readonly number[] = Array.from({ length: 16 }, (_, places) => 10 ** places);

/** a / b rounded half to even, for safe integers and b above zero. */
export function divideHalfEven(a: number, b: number): number {
  const remainder = a % b;
  const quotient = (a - remainder) / b;
  const twice = Math.abs(remainder) * 2;
  const up = twice > b || (twice === b && quotient % 2 !== 0);
  // `+ 0` turns −0 into 0.
  return (up ? quotient + (a < 0 ? -1 : 1) : quotient) + 0;
}

function divideHalfEvenBig(a: bigint, b: bigint): bigint {
  const quotient = a / b;
  const remainder = a % b;
  const twice = (remainder < 0n ? -remainder : remainder) * 2n;
  const up = twice > b || (twice === b && quotient % 2n !== 0n);
  return up ? quotient + (a < 0n ? -1n : 1n) : quotient;
}

/** Below this size a quotient estimated in doubles is at most one off, which the remainder mends. */
const NEAR = 2 ** 50;

/**
 * Exactly floor(a × b / c), for safe integers a and b of at least 0 and c above 0.
 *
 * @throws RangeError when c is not above zero, or the result lies beyond 2^53 − 1.
 */
export function mulDivFloor(a: number, b: number, c: number): number {
  if (!(c > 0)) throw new RangeError('division by nothing');
  const product = a * b;
  // The quotient of two safe integers misses a whole number above it by at least 1/c, and rounding moves it by less.
  const estimate = Math.floor(product / c);
  if (product <= SAFE) return estimate;
  if (estimate < NEAR && c < NEAR) {
    const remainder = differenceOfProducts(a, b, estimate, c);
    if (remainder < 0) return estimate - 1;
    return remainder >= c ? estimate + 1 : estimate;
  }
  const exact = (BigInt(a) * BigInt(b)) / BigInt(c);
  if (exact > SAFE_BIG) throw new RangeError('quantity too large to be held exactly');
  return Number(exact);
}

/**
 * Exactly a × b / c rounded half to even, for safe integers of either sign and c above 0. `undefined` where c is not
 * above zero or the result lies beyond ±2^53 − 1.
 */
export function mulDivHalfEven(a: number, b: number, c: number): number | undefined {
  if (!(c > 0)) return undefined;
  const product = a * b;
  if (Math.abs(product) <= SAFE) return divideHalfEven(product, c);
  const exact = divideHalfEvenBig(BigInt(a) * BigInt(b), BigInt(c));
  return exact > SAFE_BIG || exact < -SAFE_BIG ? undefined : Number(exact);
}

/**
 * Exactly a × b − q × c, where that is known to be a safe integer and q and c lie below 2^50.
 *
 * Each product is taken as a rounded double and the exact error of that rounding (Dekker, 1971); the two rounded
 * products lie so close together that their difference is exact too.
 */
function differenceOfProducts(a: number, b: number, q: number, c: number): number {
  const first = a * b;
  const second = q * c;
  return first - second + (productError(a, b, first) - productError(q, c, second));
}

const SPLITTER = 2 ** 27 + 1;

function productError(a: number, b: number, product: number): number {
  const aScaled = a * SPLITTER;
  const aHigh = aScaled - (aScaled - a);
  const aLow = a - aHigh;
  const bScaled = b * SPLITTER;
  const bHigh = bScaled - (bScaled - b);
  const bLow = b - bHigh;
  return aLow * bLow - (product - aHigh * bHigh - aLow * bHigh - aHigh * bLow);
}

/**
 * Splits a whole total in proportion to whole shares, by cumulative floor cuts: part i reaches from
 * floor(total × shares before i / all) to floor(total × shares up to i / all).
 *
 * The parts sum to the total exactly. Where the total is at most the sum of the shares, no part exceeds its share.
 *
 * @throws RangeError when the shares sum to 0 or beyond 2^53 − 1 while there is something to split.
 */
export function splitByShares(total: number, shares: readonly number[]): number[] {
  let all = 0;
  for (const share of shares) all += share;
  if (total === 0) return shares.map(() => 0);
  if (!(all > 0 && all <= SAFE)) throw new RangeError('nothing to split by');
  const parts: number[] = [];
  let reached = 0;
  let cut = 0;
  for (const share of shares) {
    reached += share;
    const next = mulDivFloor(total, reached, all);
    parts.push(next - cut);
    cut = next;
  }
  return parts;
}

/** How `formatScaled` groups digits and treats zeros at the end. */
export interface NumberStyle {
  /** Groups of three digits, from five digits before the point on, parted by a narrow no-break space (U+202F). */
  readonly grouped?: boolean;
  /** Drops zeros at the end of the decimal places. */
  readonly trimmed?: boolean;
}

/**
 * A whole number of base units × num/den as text with so many decimal places, rounded half to even.
 * The sign is `-`; a value that rounds to nothing has none.
 */
export function formatScaled(
  value: number | bigint,
  num: bigint,
  den: bigint,
  places: number,
  style: NumberStyle = {},
): string {
  const scale = 10n ** BigInt(places);
  const exact = toIntegerWithin({ mantissa: value, places: 0 }, num * scale, den);
  const rounded = exact ?? divideHalfEvenBig(BigInt(value) * num * scale, den);
  const negative = rounded < 0;
  const digits = rounded.toString().slice(negative ? 1 : 0);
  let [whole = '0', part = ''] = placePoint(digits, places).split('.');
  if (style.trimmed === true) part = part.replace(/0+$/u, '');
  if (style.grouped === true && whole.length >= 5) whole = whole.replace(/\B(?=(?:[0-9]{3})+$)/gu, '\u202F');
  return `${negative ? '-' : ''}${whole}${part === '' ? '' : `.${part}`}`;
}

function placePoint(digits: string, places: number): string {
  if (places === 0) return digits;
  const padded = digits.padStart(places + 1, '0');
  return `${padded.slice(0, -places)}.${padded.slice(-places)}`;
}

/** A formatted figure without a decimal part of nothing but zeros: `812.0 L` is `812 L`. */
export const withoutZeros = (text: string): string => text.replace(/\.0+(?=\D|$)/, '');
