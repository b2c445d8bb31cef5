/** Edits to a journal as people and their editors make them, for fast-check to draw. */
import fc from 'fast-check';
import type { SourceFile } from '../../src/journal/files.ts';

/** One edit: a new list of files from the old one. */
export interface Edit {
  readonly what: string;
  readonly of: (files: readonly SourceFile[]) => readonly SourceFile[];
}

/** Places and counts are drawn as parts of a whole, for what they are parts of is not known beforehand. */
const part = fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true });
const among = <T>(list: readonly T[], at: number): T | undefined => list[Math.floor(at * list.length)];

const byPath = (a: SourceFile, b: SourceFile): number => (a.path < b.path ? -1 : a.path > b.path ? 1 : 0);

/** An edit of one file's lines. */
function inLines(
  what: string,
  file: number,
  change: (lines: string[], files: readonly SourceFile[]) => string[],
): Edit {
  return {
    what,
    of: (files) => {
      const chosen = among(files, file);
      return files.map((one) =>
        one === chosen ? { ...one, text: change(one.text.split('\n'), files).join('\n') } : one,
      );
    },
  };
}

/** `lines`: what may be written anew; days and entries, sound and not. */
export const edits = (lines: readonly string[]): fc.Arbitrary<Edit> =>
  fc.oneof(
    {
      weight: 4,
      arbitrary: fc.tuple(part, part, fc.constantFrom(...lines)).map(([file, at, line]) =>
        inLines(`write ${line}`, file, (old) => {
          const place = Math.floor(at * (old.length + 1));
          return [...old.slice(0, place), line, ...old.slice(place)];
        }),
      ),
    },
    {
      weight: 3,
      arbitrary: fc
        .tuple(part, part)
        .map(([file, at]) =>
          inLines('take a line out', file, (old) => old.filter((_, i) => i !== Math.floor(at * old.length))),
        ),
    },
    {
      weight: 2,
      arbitrary: fc
        .tuple(part, part, part, fc.constantFrom('0', '9', ' ', 'x', '-', '~', 'T1', '#'))
        .map(([file, at, column, text]) =>
          inLines(`put ${text} into a line`, file, (old) => {
            const place = Math.floor(at * old.length);
            return old.map((line, i) => {
              if (i !== place) return line;
              const from = Math.floor(column * (line.length + 1));
              return line.slice(0, from) + text + line.slice(from);
            });
          }),
        ),
    },
    {
      weight: 2,
      arbitrary: fc.tuple(part, part, part).map(([file, a, b]) =>
        inLines('move a line', file, (old) => {
          const from = Math.floor(a * old.length);
          const moved = old.slice(from, from + 1);
          const rest = old.filter((_, i) => i !== from);
          const to = Math.floor(b * (rest.length + 1));
          return [...rest.slice(0, to), ...moved, ...rest.slice(to)];
        }),
      ),
    },
    part.map((file) => inLines('empty a file', file, () => [])),
    fc.tuple(part, part).map(
      ([from, at]): Edit => ({
        what: 'a copy of a file',
        of: (files) => {
          const one = among(files, from);
          const path = `later/${Math.floor(at * 1000)}.cellar`;
          return one === undefined || files.some((file) => file.path === path)
            ? files
            : [...files, { path, text: one.text }].sort(byPath);
        },
      }),
    ),
    part.map(
      (at): Edit => ({
        what: 'take a file away',
        of: (files) => (files.length < 2 ? files : files.filter((file) => file !== among(files, at))),
      }),
    ),
    fc.tuple(part, part).map(
      ([at, name]): Edit => ({
        what: 'rename a file',
        of: (files) => {
          const one = among(files, at);
          const path = `${name < 0.5 ? 'a' : 'z'}${Math.floor(name * 1000)}.cellar`;
          return files.some((file) => file.path === path)
            ? files
            : files.map((file) => (file === one ? { ...file, path } : file)).sort(byPath);
        },
      }),
    ),
  );
