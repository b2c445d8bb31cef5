/** The changed lines of a file, as a unified diff; for two texts with the same number of lines. */

/** Unchanged lines shown before and behind a change. */
const AROUND = 3;

/** Line breaks are not shown. What cannot be seen is made visible: a tab as an arrow, a control character as a mark. */
const shown = (line: string): string =>
  line
    .replace(/\r$/, '')
    .replace(/\t/g, '\u21e5')
    .replace(/\u00a0/g, '\u237d')
    .replace(/[\p{Cc}\u202a-\u202e\u2066-\u2069]/gu, '\ufffd');

/** The lines of a diff, without line breaks; none where nothing differs. */
export function lineChanges(path: string, before: string, after: string): string[] {
  // behind the last line break stands no line
  const olds = before.replace(/\n$/, '').split('\n');
  const news = after.replace(/\n$/, '').split('\n');
  const changed = olds.flatMap((line, i) => (line === news[i] ? [] : [i]));
  const hunks: { from: number; to: number }[] = [];
  for (const at of changed) {
    const last = hunks[hunks.length - 1];
    if (last !== undefined && at - AROUND <= last.to + AROUND) last.to = at;
    else hunks.push({ from: at, to: at });
  }
  if (hunks.length === 0) return [];
  const lines = [`--- ${shown(path)}`, `+++ ${shown(path)}`];
  for (const hunk of hunks) {
    const from = Math.max(0, hunk.from - AROUND);
    const to = Math.min(olds.length - 1, hunk.to + AROUND);
    lines.push(`@@ -${from + 1},${to - from + 1} +${from + 1},${to - from + 1} @@`);
    for (let i = from; i <= to; ) {
      if (olds[i] === news[i]) {
        lines.push(` ${shown(olds[i] ?? '')}`);
        i++;
        continue;
      }
      let end = i;
      while (end <= to && olds[end] !== news[end]) end++;
      for (let at = i; at < end; at++) lines.push(`-${shown(olds[at] ?? '')}`);
      for (let at = i; at < end; at++) lines.push(`+${shown(news[at] ?? '')}`);
      i = end;
    }
  }
  return lines;
}
