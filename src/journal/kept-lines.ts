/**
 * The lines of days as they were read, kept by their text: whoever reads nearly the same journal again and again reads
 * anew only what nobody has written before. The grammar is pure, so a text comes to the same wherever it stands; only
 * the places in it move.
 */
import { type DayBlock, type PlacedEntry, type ReadBlock, readBlock, type SourceFile } from './files.ts';
import type { Finding, Where } from './findings.ts';

interface Kept {
  /** Where it stood when it was read. */
  readonly block: DayBlock;
  readonly read: ReadBlock;
  readonly findings: readonly Finding[];
}

/** Characters of text that are kept; beyond them all is forgotten, so that no long watch grows without end. */
const MOST_KEPT = 32_000_000;

export class KeptLines {
  private readonly dated = new Map<string, Kept>();
  private readonly undated = new Map<string, Kept>();
  private kept = 0;

  /** As `readBlock`; what it gives is not to be changed. */
  readonly read = (files: readonly SourceFile[], block: DayBlock, report: (finding: Finding) => void): ReadBlock => {
    const text = (files[block.file]?.text ?? '').slice(block.from, block.to);
    // a note above the first day is read otherwise than one below a day
    const known = block.day === undefined ? this.undated : this.dated;
    let kept = known.get(text);
    if (kept === undefined) {
      const findings: Finding[] = [];
      const read = readBlock(files, block, (finding) => findings.push(finding));
      kept = { block, read, findings };
      if (this.kept > MOST_KEPT) this.forget();
      this.kept += text.length;
      known.set(text, kept);
    }
    const there = moved(kept, block);
    for (const finding of there.findings) report(finding);
    return there.read;
  };

  private forget(): void {
    this.dated.clear();
    this.undated.clear();
    this.kept = 0;
  }
}

/** What a block came to, at another place. */
function moved({ block, read, findings }: Kept, to: DayBlock): Pick<Kept, 'read' | 'findings'> {
  const lines = to.line - block.line;
  const start = to.from - block.from;
  const { file } = to;
  if (lines === 0 && start === 0 && file === block.file) return { read, findings };
  const where = (one: Where): Where => ({ ...one, file, line: one.line + lines });
  // a finding may stand in several places, and has to be one and the same in all of them
  const known = new Map<Finding, Finding>();
  const finding = (one: Finding): Finding => {
    let there = known.get(one);
    if (there === undefined) {
      there = {
        ...one,
        where: where(one.where),
        related: one.related.map((other) => ({ ...other, where: where(other.where) })),
        ...(one.fixes === undefined ? {} : { fixes: one.fixes.map((fix) => ({ ...fix, where: where(fix.where) })) }),
      };
      known.set(one, there);
    }
    return there;
  };
  const entry = (one: PlacedEntry): PlacedEntry => ({
    ...one,
    file,
    line: one.line + lines,
    start: one.start + start,
    rows: one.rows.map((row) => ({ ...row, line: row.line + lines, start: row.start + start })),
    children: one.children.map(entry),
    ...(one.spoiled === undefined ? {} : { spoiled: { ...one.spoiled, finding: finding(one.spoiled.finding) } }),
  });
  return {
    findings: findings.map(finding),
    read: {
      entries: read.entries.map(entry),
      broken: read.broken.map((one) => ({ ...one, line: one.line + lines, finding: finding(one.finding) })),
      dayNote: read.dayNote,
    },
  };
}
