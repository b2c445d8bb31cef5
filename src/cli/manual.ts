/** `ullage manual`: prints the manual page of the program, as man reads it. */
import type { Command } from 'commander';
import { type CommandWords, type OptionWords, programWords, type Value } from './command-words.ts';
import { version } from './version.ts';

/** Text for roff: what it would take for a request is taken for what it is, and what is not ASCII is named by its number. */
const roff = (text: string): string =>
  text
    .replaceAll('\\', '\\e')
    .replace(/[\u2080-\u2089]/g, (c) => c.normalize('NFKC'))
    .replaceAll('-', '\\-')
    .replace(/^[.']/gm, '\\&$&')
    .replace(/[^\p{ASCII}]/gu, (c) => `\\[u${(c.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}]`);

const bold = (text: string): string => `\\fB${roff(text)}\\fR`;
const italic = (text: string): string => `\\fI${roff(text)}\\fR`;

function synopsis(value: Value): string {
  const name = `${italic(value.name)}${value.many ? ' ...' : ''}`;
  return value.needed ? name : `[${name}]`;
}

/** A text, and the words that may stand there. */
function told(say: string, value: Value | undefined): string {
  const words = value?.words ?? [];
  // so many that they are told of elsewhere
  if (words.length === 0 || words.length > 12) return roff(say);
  const choices = `One of ${words.map(({ text }) => bold(text)).join(', ')}.`;
  return say === '' ? choices : `${roff(say)}. ${choices}`;
}

const item = (head: string, text: string): string[] => ['.TP', head, text === '' ? '\\&' : text];

function optionItem(option: OptionWords): string[] {
  const names = [option.short, option.long].flatMap((name) => (name === undefined ? [] : [bold(name)])).join(', ');
  const value = option.value === undefined ? '' : ` ${italic(option.value.name)}`;
  return item(`${names}${value}`, told(option.say, option.value));
}

function commandSection(command: CommandWords): string[] {
  const own = command.options.filter(({ long }) => long !== '--help');
  const head = [
    `ullage ${command.name}`,
    ...(own.length > 0 ? ['[options]'] : []),
    ...command.arguments.map((value) => (value.needed ? value.name : `[${value.name}]`) + (value.many ? ' ...' : '')),
  ].join(' ');
  return [
    `.SS ${roff(head)}`,
    roff(`${command.say.charAt(0).toUpperCase()}${command.say.slice(1)}.`),
    ...command.arguments.flatMap((value) => item(italic(value.name), told(value.say, value))),
    ...own.flatMap(optionItem),
    ...(command.commands.length === 0
      ? []
      : ['.P', 'Calculations:', ...command.commands.flatMap((one) => item(bold(one.name), roff(one.say)))]),
  ];
}

export function manualText(program: CommandWords, edition: string): string {
  const { name } = program;
  return [
    `.\\" Printed by \`${name} manual\`: change the commands, not this file.`,
    `.TH ${name.toUpperCase()} 1 "" "${name} ${roff(edition)}" "User Commands"`,
    '.SH NAME',
    `${name} \\- ${roff(program.say.charAt(0).toLowerCase() + program.say.slice(1).replace(/\.$/, ''))}`,
    '.SH SYNOPSIS',
    ...program.commands.flatMap((command, i) => [
      ...(i === 0 ? [] : ['.br']),
      [
        bold(`${name} ${command.name}`),
        ...command.arguments.map(synopsis),
        ...(command.options.length > 1 ? ['[options]'] : []),
      ].join(' '),
    ]),
    '.SH DESCRIPTION',
    roff(
      'A journal is a folder of text files whose names end in .cellar. They say what was done in a cellar, one action a line. The program works out from them what every vessel holds, says where the record does not add up, and writes it all as pages.',
    ),
    '.SH COMMANDS',
    ...program.commands.flatMap(commandSection),
    '.SH OPTIONS',
    ...program.options.flatMap(optionItem),
    '.SH EXIT STATUS',
    ...item(bold('0'), 'Clean: at most warnings and notes.'),
    ...item(
      bold('1'),
      'The journal has errors, a bag is not whole, or something that was only to be looked at would change.',
    ),
    ...item(bold('2'), roff('Wrong usage, or something that cannot be read or written.')),
    '.SH CAUTIONS',
    roff(
      'The figures help to fill in returns and to decide what a label may say; they are neither. The law of the place decides. The program never says that a space is safe: carbon dioxide, confined spaces, sulfur dioxide, caustics and heights can kill. Local codes, safety data sheets and trained people come first.',
    ),
    '',
  ].join('\n');
}

/** `program` is the whole of the command line. */
export function manual(program: Command): void {
  process.stdout.write(manualText(programWords(program), version()));
}
