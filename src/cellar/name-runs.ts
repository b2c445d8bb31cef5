/** Names that follow one another by their numbers: `B1`, `B2`, `B3` are one run, and so is a name alone. */

interface Numbered {
  readonly prefix: string;
  readonly number: number;
  readonly width: number;
}

/** `FB-07` is `FB-`, 7, two digits wide. */
function numbered(name: string): Numbered | undefined {
  const match = /^(.*?)([0-9]{1,9})$/u.exec(name);
  const [, prefix, digits] = match ?? [];
  if (prefix === undefined || digits === undefined || prefix === '') return undefined;
  return { prefix, number: Number(digits), width: digits.startsWith('0') ? digits.length : 0 };
}

/** Names in the order given, neighbours in a row put together. */
export function runsOf(names: readonly string[]): string[][] {
  const runs: string[][] = [];
  for (const name of names) {
    const run = runs.at(-1);
    const last = run?.at(-1);
    const before = last === undefined ? undefined : numbered(last);
    const here = numbered(name);
    const follows =
      before !== undefined &&
      here !== undefined &&
      before.prefix === here.prefix &&
      here.number === before.number + 1 &&
      (here.width === before.width || here.width === 0);
    if (run !== undefined && follows) run.push(name);
    else runs.push([name]);
  }
  return runs;
}
