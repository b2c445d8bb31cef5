/** What the program takes, as plain data read from the program itself: commands, arguments, options and their values. */
import type { Argument, Command, Option } from 'commander';
import { CODES } from '../../grammar/codes.ts';
import { calculationCommands } from './reckon.ts';

/** A word that may be typed, and what it is. */
export interface Word {
  readonly text: string;
  readonly say: string;
}

/** What stands at a place of the command line. */
export interface Value {
  /** As the help names it: `folder`. */
  readonly name: string;
  readonly say: string;
  readonly kind: 'folder' | 'file' | 'word' | 'free';
  /** For words: all that may stand there. */
  readonly words: readonly Word[];
  readonly needed: boolean;
  /** It may stand there again and again. */
  readonly many: boolean;
}

export interface OptionWords {
  readonly short: string | undefined;
  readonly long: string;
  readonly say: string;
  readonly value: Value | undefined;
}

export interface CommandWords {
  readonly name: string;
  readonly say: string;
  readonly arguments: readonly Value[];
  readonly options: readonly OptionWords[];
  /** Commands of its own, or the calculations that `reckon` has. */
  readonly commands: readonly CommandWords[];
}

/** The words that stand at places of these names, where the program itself lists none. */
const WORDS: Readonly<Record<string, () => readonly Word[]>> = {
  code: () => Object.entries(CODES).map(([text, { title }]) => ({ text, say: title })),
};

/** A word that every shell takes as it is. */
const SAFE = /^[\w.@%+-]+$/;

function valueAt(name: string, say: string, choices: readonly string[] | undefined, many: boolean, needed: boolean) {
  const words = (choices?.map((text) => ({ text, say: '' })) ?? WORDS[name]?.() ?? []).filter(({ text }) =>
    SAFE.test(text),
  );
  const kind =
    words.length > 0 ? 'word' : name === 'folder' ? 'folder' : name === 'paths' || name === 'file' ? 'file' : 'free';
  return { name, say, kind, words, many, needed } satisfies Value;
}

const argumentValue = (argument: Argument): Value =>
  valueAt(argument.name(), argument.description, argument.argChoices, argument.variadic, argument.required);

function optionWords(option: Option): OptionWords[] {
  if (option.hidden || option.long === undefined || option.long === null) return [];
  const placeholder = /[<[]([^\]>]+)[\]>]/.exec(option.flags)?.[1];
  return [
    {
      short: option.short ?? undefined,
      long: option.long,
      say: option.description,
      value:
        placeholder === undefined
          ? undefined
          : valueAt(placeholder.replace(/\.+$/, ''), '', option.argChoices, false, option.required),
    },
  ];
}

/** Both spellings of an option. */
export const namesOf = ({ short, long }: OptionWords): string[] => (short === undefined ? [long] : [short, long]);

/** In single quotes, as bash and zsh read them. */
export const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`;

const HELP: OptionWords = { short: '-h', long: '--help', say: 'display help for command', value: undefined };

function commandWords(command: Command, name: string): CommandWords {
  const commands =
    name === 'reckon'
      ? calculationCommands().map((one) => {
          const [, , calculation = ''] = one.name().split(' ');
          return commandWords(one, calculation);
        })
      : command
          .createHelp()
          .visibleCommands(command)
          .filter((one) => one.name() !== 'help')
          .map((one) => commandWords(one, one.name()));
  return {
    name,
    say: command.description().split('\n')[0] ?? '',
    arguments: command.registeredArguments.map(argumentValue),
    options: [...command.options.flatMap(optionWords), HELP],
    commands,
  };
}

/** The whole program; `program` is the commander's own. */
export const programWords = (program: Command): CommandWords => commandWords(program, program.name());
