/** The tidy form of a file as edits of single lines, so that the rest of it stays where it is. */
import { firstDifference } from '../../grammar/same-reading.ts';
import { tidy } from '../../grammar/tidy.ts';
import { spellingIn } from '../journal/spelling.ts';
import type { Edit } from './rename.ts';
import type { Study } from './study.ts';

/** What to change so that a file is tidy; nothing where its tidy form would say something else. */
export function formattingOf(study: Study, file: number): Edit[] {
  const text = study.files[file]?.text ?? '';
  const { register } = study.outcome();
  const tidied = tidy(text, spellingIn(register)).text;
  if (tidied === text || firstDifference(text, tidied) !== undefined) return [];
  const before = text.split('\n');
  const edits: Edit[] = [];
  let start = 0;
  // tidy keeps the number of lines
  for (const [i, line] of tidied.split('\n').entries()) {
    const old = before[i] ?? '';
    if (old !== line) edits.push({ file, start, end: start + old.length, text: line });
    start += old.length + 1;
  }
  return edits;
}
