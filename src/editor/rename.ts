/** Gives something another name wherever the journal names it; refuses where the journal would then say something else. */
import { findAnalyte } from '../../grammar/analytes.ts';
import { asWritten } from '../../grammar/fixes.ts';
import { mayBeName } from '../../grammar/read.ts';
import { isTagged } from '../../grammar/tokens.ts';
import { findUnit } from '../../grammar/units.ts';
import { fold } from '../../grammar/words.ts';
import type { SourceFile } from '../journal/files.ts';
import { lineAt } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';
import { declarationOf, type Meant, type Names, type Range, sameThing, usesOf } from './names.ts';
import { Study } from './study.ts';

/** Text to stand in place of a part of a file. */
export interface Edit extends Range {
  readonly text: string;
}

export type Renamed = { readonly edits: readonly Edit[] } | { readonly refused: string };

const KINDS = {
  vessel: 'a vessel',
  lot: 'a lot',
  block: 'a block',
  sample: 'a sample or a trial',
  material: 'a material',
  hand: 'a hand',
  plan: 'a plan',
} as const;

/** A name as a line takes it anywhere: in quotes where it is no word, or a word that means something else. */
function written(name: string): string {
  const lower = name.toLowerCase();
  const other = isTagged(lower) || findUnit(name) !== undefined || findAnalyte(name) !== undefined;
  return other || lower === 'struck' || lower === 'now' || lower === 'x' ? `"${name}"` : asWritten(name);
}

/** Where a range of a file stands, for people. */
export function sayPlace(files: readonly SourceFile[], { file, start }: Range): string {
  const { path = '', text = '' } = files[file] ?? {};
  return `${path}:${text.slice(0, start).split('\n').length}`;
}

/** The files with edits made. */
export function withEdits(files: readonly SourceFile[], edits: readonly Edit[]): SourceFile[] {
  return files.map((source, file) => {
    const here = edits.filter((edit) => edit.file === file).sort((a, b) => b.start - a.start);
    return here.length === 0
      ? source
      : {
          ...source,
          text: here.reduce(
            (text, { start, end, text: now }) => text.slice(0, start) + now + text.slice(end),
            source.text,
          ),
        };
  });
}

function unfit(name: string): string | undefined {
  if (name === '') return 'a name has at least one letter';
  if (/["\p{Cc}\u2028\u2029]/u.test(name)) return 'a name has no quotes and no line breaks';
  if (name.length > 200) return 'a name is not so long';
  if (!mayBeName(name)) return `\`${name}\` is a reserved word and cannot be a name`;
  return undefined;
}

/** Names a thing anew. `to` may stand in quotes. */
export function rename(study: Study, names: Names, { thing, name, mention }: Meant, to: string): Renamed {
  const wanted = to
    .trim()
    .replace(/^"(.*)"$/, '$1')
    .trim()
    .normalize('NFC');
  const wrong = unfit(wanted);
  if (wrong !== undefined) return { refused: wrong };
  if (wanted === name) return { edits: [] };
  const other = names.thing(mention.space, wanted, undefined);
  if (other !== undefined && !sameThing(other, thing)) {
    const there = declarationOf(study, names, other);
    const where = there === undefined ? '' : `, given at ${sayPlace(study.files, there)}`;
    return { refused: `\`${wanted}\` is ${KINDS[other.kind]} already${where}` };
  }
  const sameName = fold(wanted) === fold(name);
  // names it had before or has later stay what they were
  const uses = usesOf(study, names, thing).filter((use) => fold(use.name) === fold(name));
  if (!sameName && other !== undefined)
    return { refused: `it is called \`${wanted}\` at another time: two names would become one` };
  const ranged = uses.find((use) => use.inRange || use.endsRange);
  if (ranged !== undefined && !sameName) {
    const range = study.files[ranged.file]?.text.slice(ranged.start, ranged.end);
    return {
      refused: `\`${name}\` is named by a range${ranged.inRange ? ` (\`${range}\`)` : ''} at ${sayPlace(study.files, ranged)}: name it by itself there first, or write \`rename ${written(name)} to ${written(wanted)}\` under the day it changed`,
    };
  }
  const edits = uses
    .filter((use) => !use.inRange)
    .map(({ file, start, end }): Edit => ({ file, start, end, text: written(wanted) }));
  const changed = firstDifference(study, withEdits(study.files, edits));
  return changed === undefined ? { edits } : { refused: changed };
}

/** What a journal would say that it does not say now; only how things are called may change. */
function firstDifference(study: Study, files: readonly SourceFile[]): string | undefined {
  const [before, after] = [study.outcome(), new Study(files, study).outcome()];
  const key = ({ code, where }: Finding): string => `${where.file} ${where.line} ${code}`;
  const known = new Set(before.findings.map(key));
  const fresh = after.findings.find((finding) => !known.has(key(finding)));
  if (fresh !== undefined) {
    const { path = '', text = '' } = files[fresh.where.file] ?? {};
    const line = lineAt(text, fresh.where.line).trim();
    return `the journal would no longer say the same: ${path}:${fresh.where.line} \`${line}\`, ${fresh.message}`;
  }
  return after.findings.length === before.findings.length && after.entries === before.entries
    ? undefined
    : 'the journal would no longer say the same';
}
