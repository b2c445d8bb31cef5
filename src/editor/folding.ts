/** What of a file can be folded away: days, tables and what else stands below an entry, notes, runs of comments. */
import { FRAMES } from '../../grammar/frames.ts';
import { canonical } from '../../grammar/tokens.ts';
import type { VerbWord } from '../../grammar/words.ts';
import { OWNERS, openingVerb, spotsOf } from './spots.ts';
import type { Study } from './study.ts';

export interface Fold {
  /** Lines from 1, the first stays to be seen. */
  readonly first: number;
  readonly last: number;
  readonly kind: 'day' | 'table' | 'note' | 'comment';
}

const linesIn = (text: string): number => text.split('\n').length;

export function foldsOf(study: Study, file: number): Fold[] {
  const folds: Fold[] = [];
  const add = (kind: Fold['kind'], first: number, last: number): void => {
    if (last > first) folds.push({ first, last, kind });
  };
  let day: number | undefined;
  let owner: number | undefined;
  let note: number | undefined;
  let lastNote = 0;
  let lastBelow = 0;
  let last = 0;
  const endNote = (): void => {
    if (note !== undefined) add('note', note, lastNote);
    note = undefined;
  };
  const endTable = (): void => {
    if (owner !== undefined) add('table', owner, lastBelow);
    owner = undefined;
  };
  for (const { kind, line, text } of spotsOf(study, file)) {
    const end = line + linesIn(text) - 1;
    if (kind === 'note') {
      if (note !== undefined && line !== lastNote + 1) endNote();
      note ??= line;
      lastNote = line;
    } else endNote();
    if (kind === 'day') {
      endTable();
      if (day !== undefined) add('day', day, last);
      day = line;
    } else if (kind === 'said') {
      const verb = openingVerb(text);
      const word = verb === undefined ? undefined : (canonical(verb) as VerbWord);
      if (word !== undefined && FRAMES[word].under === undefined) {
        endTable();
        if (OWNERS.has(word)) owner = line;
        else if (end > line) add('table', line, end);
      }
      lastBelow = end;
    }
    last = end;
  }
  endNote();
  endTable();
  if (day !== undefined) add('day', day, last);
  return [...folds, ...commentsOf(study.files[file]?.text ?? '')].sort((a, b) => a.first - b.first || b.last - a.last);
}

/** Runs of two and more lines that are comments. */
function commentsOf(text: string): Fold[] {
  const folds: Fold[] = [];
  let first: number | undefined;
  const lines = text.split('\n');
  for (let i = 0; i <= lines.length; i++) {
    if (/^[ \t]*#/.test(lines[i] ?? '')) first ??= i + 1;
    else {
      if (first !== undefined && i > first) folds.push({ first, last: i, kind: 'comment' });
      first = undefined;
    }
  }
  return folds;
}
