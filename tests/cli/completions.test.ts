/** The words of the program in shells and in its manual page: all of them, as the program itself has them. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { CODES } from '../../grammar/codes.ts';
import { CALCULATIONS } from '../../src/trade/calculations/index.ts';
import { ROOT, ullage } from './run.ts';

const scratch = mkdtempSync(join(tmpdir(), 'ullage-words-'));
const scriptOf = (shell: string): string => join(scratch, `words.${shell}`);
let commands: string[] = [];

beforeAll(() => {
  for (const shell of ['bash', 'zsh', 'fish']) writeFileSync(scriptOf(shell), ullage(['completions', shell]).stdout);
  commands = [...ullage(['--help']).stdout.matchAll(/^ {2}([a-z-]+) .*/gm)]
    .map((match) => match[1] ?? '')
    .filter((name) => name !== 'help');
});
afterAll(() => {
  rmSync(scratch, { recursive: true, force: true });
});

const has = (program: string): boolean => spawnSync(program, ['--version']).status === 0;

/** What bash offers for a line, the cursor at its end. */
function inBash(line: string): string[] {
  // as bash cuts a line into words: a `=` is one
  const words = line.split(/ |(?=[=])|(?<=[=])/);
  const script = `source '${scriptOf('bash')}'
COMP_WORDS=(${words.map((word) => `'${word}'`).join(' ')})
COMP_CWORD=${words.length - 1}
_ullage
printf '%s\\n' "\${COMPREPLY[@]}"`;
  const { stdout, stderr } = spawnSync('bash', ['--norc', '-c', script], { encoding: 'utf8', cwd: ROOT });
  expect(stderr).toBe('');
  return stdout.split('\n').filter((word) => word !== '');
}

describe('in bash', () => {
  test('every command of the help', () => {
    expect(commands.length).toBeGreaterThan(10);
    expect(inBash('ullage ').sort()).toEqual([...commands].sort());
    expect(inBash('ullage bu')).toEqual(['build']);
  });

  test('options, and what stands behind them', () => {
    expect(inBash('ullage check --')).toEqual(['--format', '--all', '--help']);
    expect(inBash('ullage check --format ')).toEqual(['text', 'json', 'sarif']);
    expect(inBash('ullage check --format=s')).toEqual(['sarif']);
    expect(inBash('ullage check demo-journal --format=')).toEqual(['text', 'json', 'sarif']);
    expect(inBash('ullage build demo-journal --on ')).toEqual([]);
  });

  test('folders, files, codes and calculations', () => {
    expect(inBash('ullage check demo')).toEqual(['demo-journal']);
    expect(inBash('ullage build --out gram')).toEqual(['grammar']);
    expect(inBash('ullage build --out site demo')).toEqual(['demo-journal']);
    expect(inBash('ullage tidy demo-journal READ')).toEqual(['README.md']);
    expect(inBash('ullage explain ').sort()).toEqual(Object.keys(CODES).sort());
    expect(inBash('ullage reckon ')).toEqual(CALCULATIONS.map(({ name }) => name));
    expect(inBash('ullage reckon so2-dose --vol')).toEqual(['--volume']);
  });
});

describe('in other shells', () => {
  test('zsh reads the script, and offers the commands', (context) => {
    if (!has('zsh')) context.skip('there is no zsh');
    const read = [
      '-f',
      '-c',
      `autoload -U compinit; compinit -D -u; source '${scriptOf('zsh')}'; print $_comps[ullage]`,
    ];
    expect(spawnSync('zsh', read, { encoding: 'utf8' })).toMatchObject({ stderr: '', stdout: '_ullage\n' });
    for (const name of commands) expect(ullage(['completions', 'zsh']).stdout).toContain(`'${name}:`);
  });

  test('fish offers commands, options and words', (context) => {
    if (!has('fish')) context.skip('there is no fish');
    const inFish = (line: string): string[] => {
      const script = `source '${scriptOf('fish')}'; complete -C '${line}'`;
      const { stdout, stderr } = spawnSync('fish', ['--no-config', '-c', script], { encoding: 'utf8', cwd: ROOT });
      expect(stderr).toBe('');
      return stdout.split('\n').flatMap((found) => (found === '' ? [] : [found.split('\t')[0] ?? '']));
    };
    expect(inFish('ullage ').sort()).toEqual([...commands].sort());
    expect(inFish('ullage check --f')).toEqual(['--format']);
    expect(inFish('ullage check --format ').sort()).toEqual(['json', 'sarif', 'text']);
    expect(inFish('ullage reckon so2-dose --vol')).toEqual(['--volume']);
    expect(inFish('ullage explain vessel-over')).toEqual(
      ['vessel-overdrawn', 'vessel-overfull'].filter((code) => code in CODES),
    );
  });

  test('another shell is refused', () => {
    expect(ullage(['completions', 'tcsh']).status).toBe(2);
  });
});

describe('the manual page', () => {
  test('is the one in the repository', async () => {
    await expect(ullage(['manual']).stdout).toMatchFileSnapshot('../../grammar/reference/ullage.1');
  });

  test('names every command and option', () => {
    const page = ullage(['manual']).stdout;
    for (const name of commands) {
      expect(page).toContain(`.SS ullage ${name.replaceAll('-', '\\-')}`);
      const options = [...ullage([name, '--help']).stdout.matchAll(/^ {2}(?:-\w, )?(--[a-z-]+)/gm)].map(
        (match) => match[1] ?? '',
      );
      for (const option of options.filter((one) => one !== '--help'))
        expect(page).toContain(option.replaceAll('-', '\\-'));
    }
  });

  test('is read by groff without a warning', (context) => {
    if (!has('groff')) context.skip('there is no groff');
    const { status, stderr } = spawnSync('groff', ['-man', '-Tutf8', '-ww', '-z'], {
      input: ullage(['manual']).stdout,
      encoding: 'utf8',
    });
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
  });
});
