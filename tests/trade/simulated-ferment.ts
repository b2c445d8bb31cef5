/**
 * A ferment made by a model of yeast, not by the curve that is fitted: what the forecasts are tried on.
 *
 * Yeast grows on nitrogen, takes up sugar while it lives, and dies of alcohol: the form of Coleman, Fish & Block (Appl.
 * Environ. Microbiol. 73 (2007) 5875). The constants are of that size, from memory; they make ferments of one to four weeks
 * and stand for no published ferment. `mortality` scales how fast alcohol kills: 0.4 ends dry, 1 often ends slowly.
 */
export interface Must {
  readonly brix: number;
  /** Nitrogen that yeast can use, g/L. */
  readonly nitrogen: number;
  readonly celsius: number;
  readonly mortality: number;
}

/** °Bx by hydrometer at every whole hour. */
export function simulatedFerment({ brix, nitrogen, celsius, mortality }: Must, hours: number): number[] {
  const growth = Math.exp(-3.92 + 0.0782 * celsius);
  const uptake = Math.exp(-4.15 + 0.087 * celsius);
  const death = mortality * Math.exp(-9.81 - 0.108 * celsius + 0.00478 * celsius ** 2);
  const all = 9.9 * brix - 10;
  let [yeast, food, sugar, alcohol] = [0.2, nitrogen, all, 0];
  const step = 0.05;
  const values: number[] = [];
  for (let tick = 0; values.length <= hours; tick++) {
    if (tick % 20 === 0) values.push(-1.5 + (brix + 1.5) * (sugar / all));
    const grown = (growth * food * yeast) / (0.01 + food);
    const taken = (uptake * sugar * yeast) / (10 + sugar);
    yeast += step * (grown - death * alcohol * yeast);
    food = Math.max(0, food - (step * grown) / 22);
    alcohol += step * taken;
    sugar = Math.max(0, sugar - (step * taken) / 0.55);
  }
  return values;
}

/** Numbers between 0 and 1, the same every time for the same beginning. */
export function randomFrom(beginning: number): () => number {
  let state = beginning;
  return () => {
    state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
    return (state + 0.5) / 2_147_483_648;
  };
}

/** Numbers about nought with a standard deviation of one, from numbers between 0 and 1. */
export const normalFrom = (random: () => number) => (): number =>
  Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random());
