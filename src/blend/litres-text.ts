/** Litres of a blend in words. */

/** To a tenth of a litre; below a litre to the millilitre, so that no amount reads as nothing. */
export const litresText = (litres: number): string =>
  `${String(Number(litres.toFixed(Math.abs(litres) < 1 ? 3 : 1)))} L`;
