/** `ullage completions SHELL`: prints a script that completes the program's words, for bash, zsh or fish. */
import type { Command } from 'commander';
import { programWords } from './command-words.ts';
import { bashScript } from './complete-bash.ts';
import { fishScript } from './complete-fish.ts';
import { zshScript } from './complete-zsh.ts';

export const SHELLS = ['bash', 'zsh', 'fish'] as const;
export type Shell = (typeof SHELLS)[number];

const SCRIPTS = { bash: bashScript, zsh: zshScript, fish: fishScript };

/** `program` is the whole of the command line. */
export function completions(program: Command, shell: Shell): void {
  process.stdout.write(SCRIPTS[shell](programWords(program)));
}
