/** A script that completes the program's words in zsh. */
import { type CommandWords, namesOf, type OptionWords, quoted, type Value } from './command-words.ts';

/** What zsh would read as the end of a description is taken for what it is. */
const described = (text: string): string => text.replace(/[\\[\]:]/g, '\\$&');

/** The completing part of a spec. */
function action(value: Value): string {
  switch (value.kind) {
    case 'word':
      return `(${value.words.map(({ text }) => text).join(' ')})`;
    case 'folder':
      return '_files -/';
    case 'file':
      return '_files';
    case 'free':
      return ' ';
  }
}

function optionSpecs(option: OptionWords): string[] {
  const { value } = option;
  const told = `[${described(option.say)}]${value === undefined ? '' : `:${described(value.name)}:${action(value)}`}`;
  const names = namesOf(option);
  const others = names.length > 1 ? `(${names.join(' ')})` : '';
  return names.map((name) =>
    quoted(`${others}${name}${value !== undefined && name.startsWith('--') ? '=' : ''}${told}`),
  );
}

function argumentSpecs(command: CommandWords): string[] {
  return command.arguments.map((value, i) => {
    const place = value.many ? '*' : String(i + 1);
    return quoted(`${place}${value.needed ? ':' : '::'}${described(value.name)}:${action(value)}`);
  });
}

/** A function for a command, and one for each of its own. */
function functions(command: CommandWords, name: string): string[] {
  const options = command.options.flatMap(optionSpecs);
  if (command.commands.length === 0) {
    return [`${name}() {\n  _arguments \\\n    ${[...options, ...argumentSpecs(command)].join(' \\\n    ')}\n}\n`];
  }
  const listed = command.commands.map((one) => `        ${quoted(`${one.name}:${described(one.say)}`)}`);
  const below = command.commands.map((one) => `        (${one.name}) ${name}_${one.name.replaceAll('-', '_')} ;;`);
  const own = `${name}() {
  local curcontext="$curcontext" state line
  typeset -A opt_args
  _arguments -C \\
    ${[...options, "'1:word:->word'", "'*::rest:->rest'"].join(' \\\n    ')}
  case $state in
    (word)
      local -a all=(
${listed.join('\n')}
      )
      _describe word all
      ;;
    (rest)
      case $words[1] in
${below.join('\n')}
      esac
      ;;
  esac
}
`;
  return [...command.commands.flatMap((one) => functions(one, `${name}_${one.name.replaceAll('-', '_')}`)), own];
}

export function zshScript(program: CommandWords): string {
  const { name } = program;
  return `#compdef ${name}
# Completes the words of ${name} in zsh. For every shell: ${name} completions zsh > a folder of $fpath, as _${name}
# For this shell: source <(${name} completions zsh)

${functions(program, `_${name}`).join('\n')}
if [[ "$funcstack[1]" == _${name} ]]; then
  _${name} "$@"
else
  compdef _${name} ${name}
fi
`;
}
