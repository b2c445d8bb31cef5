/** `ullage blend FOLDER`: a recipe from the wines in the cellar that keeps to what is asked, or why there is none. */
import type { Asked } from '../blend/asked.ts';
import { partsOf } from '../blend/available.ts';
import { blendEntry, type Entry } from '../blend/entry.ts';
import { nearTrial } from '../blend/near-trial.ts';
import { readAsked, vesselsOf, type Words } from '../blend/read-asked.ts';
import { type AnswerToBlend, answerBlend, type NoRecipe, type Recipe } from '../blend/recipe.ts';
import { recipeJson } from '../blend/recipe-json.ts';
import { recipePage } from '../blend/recipe-page.ts';
import { loadSolver } from '../blend/solver.ts';
import { recipeLines, refusalLines, toldRecipe, toldRefusal } from '../blend/told-recipe.ts';
import type { Book } from '../cellar/book.ts';
import { makeBook } from '../cellar/make-book.ts';
import { checkJournal } from '../checks/check-journal.ts';
import type { SourceFile } from '../journal/files.ts';
import type { Finding } from '../journal/findings.ts';
import { isRefused } from '../trade/worked.ts';
import { handOut } from './hand-out.ts';
import { readBook } from './read-book.ts';
import { sayTally, tally, visible } from './show.ts';
import { solverBytes } from './solver-file.ts';

export interface BlendOptions extends Words {
  readonly to?: string;
  readonly as?: string;
  /** A row of a trial to come near to. */
  readonly near?: string;
  /** A file for a page that tells the same. */
  readonly page?: string;
  readonly on?: number;
  readonly format: 'text' | 'json';
}

const wrong = (why: string): 2 => {
  process.stderr.write(`${visible(why)}\n`);
  return 2;
};

/** 0 a recipe, 1 none can be, or its entry would not be clean, 2 wrong usage or a folder that cannot be read. */
export async function blend(folder: string, options: BlendOptions): Promise<number> {
  const there = readBook(folder, options.on);
  if (there === undefined) return 2;
  const { book, read } = there;
  const near = options.near === undefined ? undefined : nearTrial(book, options.near);
  if (near !== undefined && isRefused(near)) return wrong(near.refused);
  const question = readAsked(book, options, near);
  if (isRefused(question)) return wrong(question.refused);
  const { asked, typed } = question;
  const to = options.to === undefined ? undefined : vesselsOf(book, options.to);
  if (to !== undefined && isRefused(to)) return wrong(to.refused);
  const parts = partsOf(book, asked.from, typed);
  const answer = answerBlend(await loadSolver(solverBytes()), asked, parts, book.settings);
  const entry = entryOf(book, asked, answer, { ...options, to });
  const found = entry === undefined ? [] : newFindings(read.files, book, entry);
  if (options.page !== undefined && answer.status !== 'unable') {
    const why = await writePage(answer, entry, book, options.page);
    if (why !== undefined) return wrong(`${options.page} was not written: ${why}`);
  }
  write(answer, entry, book, options.format);
  if (answer.status === 'unable') process.stderr.write(`${visible(answer.why)}\n`);
  const counts = tally(book.findings);
  if (counts.errors > 0)
    process.stderr.write(
      `the journal has ${sayTally(counts)}: what they touch may be wrong here; ullage check tells them\n`,
    );
  const unclean = found.filter(
    ({ where, severity }) => severity === 'error' || (severity === 'warning' && where.file === read.files.length),
  );
  tellFindings('the entry would not be clean in this journal:', unclean);
  tellFindings(
    'with the entry the journal would be told as well:',
    found.filter((one) => !unclean.includes(one)),
  );
  return answer.status === 'recipe' && unclean.length === 0 ? 0 : 1;
}

function tellFindings(head: string, findings: readonly Finding[]): void {
  if (findings.length === 0) return;
  process.stderr.write(`${head}\n`);
  for (const { code, message, help } of findings)
    process.stderr.write(`  ${code}: ${visible(message)}${help === undefined ? '' : `; ${visible(help)}`}\n`);
}

function entryOf(
  book: Book,
  asked: Asked,
  answer: AnswerToBlend,
  named: { readonly to?: readonly string[] | undefined; readonly as?: string },
): Entry | undefined {
  if (answer.status !== 'recipe') return undefined;
  return blendEntry(book, asked, answer.contributions, {
    ...(named.to === undefined ? {} : { to: named.to }),
    ...(named.as === undefined ? {} : { as: named.as }),
  });
}

/** What the journal would be told with the entry in it that it is not told without. */
function newFindings(files: readonly SourceFile[], book: Book, entry: Entry): Finding[] {
  const path = `${files.at(-1)?.path ?? ''}.blend.cellar`;
  const withEntry = [...files, { path, text: `${entry.text}\n` }];
  const before = new Set(book.findings.map(({ code, message }) => `${code} ${message}`));
  const after = makeBook(withEntry, book.on, checkJournal);
  return after.findings.filter(
    ({ code, message, where }) => where.file === files.length || !before.has(`${code} ${message}`),
  );
}

async function writePage(
  answer: Recipe | NoRecipe,
  entry: Entry | undefined,
  book: Book,
  path: string,
): Promise<string | undefined> {
  const { wholePage } = await import('../site/whole-page.ts');
  const { packagePath } = await import('./package-path.ts');
  const page = recipePage(answer, entry, book);
  const html = await wholePage(
    'recipe',
    ['style.css'],
    { page, title: page.title, cellar: book.settings.name },
    packagePath('templates'),
  );
  return handOut(html, path);
}

function write(answer: AnswerToBlend, entry: Entry | undefined, book: Book, format: 'text' | 'json'): void {
  if (format === 'json') {
    process.stdout.write(`${JSON.stringify(recipeJson(answer, entry, book.settings, book.on), null, 2)}\n`);
    return;
  }
  if (answer.status === 'unable') return;
  const lines =
    answer.status === 'recipe'
      ? recipeLines(toldRecipe(answer, entry, book.settings, book.on))
      : refusalLines(toldRefusal(answer));
  process.stdout.write(`${lines.map(visible).join('\n')}\n`);
}
