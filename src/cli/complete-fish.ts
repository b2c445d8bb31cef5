/** A script that completes the program's words in fish. */
import { type CommandWords, namesOf, type Value } from './command-words.ts';

/** In single quotes, as fish reads them. */
const fishQuoted = (text: string): string => `'${text.replace(/[\\']/g, '\\$&')}'`;

/** What completes a value; nothing where anything may stand. */
function completing(value: Value): string {
  switch (value.kind) {
    case 'word':
      return ` -a ${fishQuoted(value.words.map(({ text }) => text).join(' '))}`;
    case 'folder':
      return " -a '(__fish_complete_directories)'";
    case 'file':
      return " -a '(__fish_complete_path)'";
    case 'free':
      return '';
  }
}

interface Tables {
  readonly takes: string[];
  readonly commands: string[];
  readonly lines: string[];
}

function fill(tables: Tables, command: CommandWords, path: string): void {
  const here = `-n ${fishQuoted(`__ullage_at ${fishQuoted(path)}`)}`;
  for (const { name, say } of command.commands) {
    tables.commands.push(`${path}:${name}`);
    tables.lines.push(`complete -c ullage ${here} -a ${fishQuoted(name)} -d ${fishQuoted(say)}`);
  }
  if (command.commands.length === 0) {
    for (const value of command.arguments) {
      if (value.kind !== 'free') tables.lines.push(`complete -c ullage ${here}${completing(value)}`);
    }
  }
  for (const option of command.options) {
    const { value } = option;
    const names = `${option.short === undefined ? '' : ` -s ${option.short.slice(1)}`} -l ${option.long.slice(2)}`;
    const takes = value === undefined ? '' : ` -x${completing(value)}`;
    if (value !== undefined) tables.takes.push(...namesOf(option).map((name) => `${path}:${name}`));
    tables.lines.push(`complete -c ullage ${here}${names}${takes} -d ${fishQuoted(option.say)}`);
  }
  for (const below of command.commands) fill(tables, below, path === '' ? below.name : `${path} ${below.name}`);
}

export function fishScript(program: CommandWords): string {
  const tables: Tables = { takes: [], commands: [], lines: [] };
  fill(tables, program, '');
  const { name } = program;
  const list = (words: readonly string[]): string => words.map(fishQuoted).join(' ');
  return `# Completes the words of ${name} in fish. For every shell: ${name} completions fish > ~/.config/fish/completions/${name}.fish

function __ullage_at -a wanted -d 'whether the commands typed so far are these'
    set -l takes ${list(tables.takes)}
    set -l commands ${list(tables.commands)}
    set -l path ''
    set -l skip 0
    for word in (commandline -opc)[2..-1]
        if test $skip -eq 1
            set skip 0
        else if contains -- "$path:$word" $takes
            set skip 1
        else if contains -- "$path:$word" $commands
            set path (string trim -- "$path $word")
        end
    end
    test "$path" = "$wanted"
end

complete -c ${name} -f
${tables.lines.join('\n')}
`;
}
