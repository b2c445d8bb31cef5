/** `ullage verify FOLDER`: whether a bag is whole, as `ullage archive` or another program made it. */
import { verifyBag } from './bag-verify.ts';
import { painter, visible } from './show.ts';

/** Problems shown before the rest is only counted. */
const SHOWN = 30;

/** 0 whole, 1 not whole, 2 the folder cannot be read. */
export function verify(folder: string): number {
  const { unread, problems, intact } = verifyBag(folder);
  if (unread !== undefined) {
    process.stderr.write(`${visible(folder)}: ${unread}\n`);
    return 2;
  }
  const paint = painter(process.stdout);
  const grave = problems.filter(({ breaks }) => breaks);
  const told = [...grave, ...problems.filter(({ breaks }) => !breaks)];
  for (const { breaks, message } of told.slice(0, SHOWN))
    process.stdout.write(`${breaks ? paint('red', 'broken') : paint('cyan', 'note')}  ${message}\n`);
  if (told.length > SHOWN) process.stdout.write(`and ${told.length - SHOWN} more\n`);
  const files = `${intact} file${intact === 1 ? '' : 's'} as listed`;
  process.stdout.write(
    grave.length === 0 ? `the bag is whole: ${files}\n` : `${paint('red', 'the bag is not whole')}: ${files}\n`,
  );
  return grave.length === 0 ? 0 : 1;
}
