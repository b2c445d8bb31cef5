/** A script that completes the program's words in bash, from version 3.2 on; it needs nothing beside bash. */
import { type CommandWords, namesOf, quoted, type Value } from './command-words.ts';

/** What completes a value. */
function completing(value: Value): string {
  switch (value.kind) {
    case 'word':
      return `_ullage_words ${quoted(value.words.map(({ text }) => text).join(' '))}`;
    case 'folder':
      return '_ullage_paths -d';
    case 'file':
      return '_ullage_paths -f';
    case 'free':
      return ':';
  }
}

interface Tables {
  /** Command and option, where the option takes a value. */
  readonly takes: string[];
  /** Words of command and command, where the second is one of the first. */
  readonly commands: string[];
  /** Cases of what stands behind an option. */
  readonly values: string[];
  /** Cases of what stands where no option does. */
  readonly places: string[];
  readonly options: string[];
}

function fill(tables: Tables, command: CommandWords, path: string): void {
  const key = (word: string): string => quoted(`${path}:${word}`);
  for (const option of command.options) {
    if (option.value === undefined) continue;
    const names = namesOf(option).map(key);
    tables.takes.push(...names);
    tables.values.push(`    ${names.join('|')}) ${completing(option.value)} ;;`);
  }
  tables.options.push(`    ${quoted(path)}) _ullage_words ${quoted(command.options.flatMap(namesOf).join(' '))} ;;`);
  const names = command.commands.map(({ name }) => name);
  if (names.length > 0) tables.places.push(`    ${key('0')}) _ullage_words ${quoted(names.join(' '))} ;;`);
  else {
    for (const [place, value] of command.arguments.entries())
      tables.places.push(
        `    ${key(String(place))}${value.many ? `|${quoted(`${path}:`)}*` : ''}) ${completing(value)} ;;`,
      );
  }
  for (const below of command.commands) {
    tables.commands.push(key(below.name));
    fill(tables, below, path === '' ? below.name : `${path} ${below.name}`);
  }
}

export function bashScript(program: CommandWords): string {
  const tables: Tables = { takes: [], commands: [], values: [], places: [], options: [] };
  fill(tables, program, '');
  const { name } = program;
  return `# Completes the words of ${name} in bash. For this shell: source <(${name} completions bash)
# For every shell: ${name} completions bash > ~/.local/share/bash-completion/completions/${name}

_ullage_words() {
  COMPREPLY=($(compgen -W "$1" -- "$cur"))
}

_ullage_paths() {
  local IFS=$'\\n'
  type compopt >/dev/null 2>&1 && compopt -o filenames 2>/dev/null
  COMPREPLY=($(compgen "$1" -- "$cur"))
}

_ullage_takes() {
  case "$1" in
    ${tables.takes.join('|')}) return 0 ;;
  esac
  return 1
}

_ullage_command() {
  case "$1" in
    ${tables.commands.join('|')}) return 0 ;;
  esac
  return 1
}

_${name}() {
  local cur="\${COMP_WORDS[COMP_CWORD]}" option='' path='' place=0 at=1 word
  COMPREPLY=()
  while ((at < COMP_CWORD)); do
    word="\${COMP_WORDS[at]}"
    if _ullage_takes "$path:$word"; then
      # bash makes a word of the sign between an option and its value
      [[ "\${COMP_WORDS[at + 1]}" == '=' ]] && ((at++))
      if ((at + 1 >= COMP_CWORD)); then
        option="$word"
        [[ "$cur" == '=' ]] && cur=''
      fi
      ((at++))
    elif [[ "$word" == -* ]]; then
      :
    elif ((place == 0)) && _ullage_command "$path:$word"; then
      path="\${path:+$path }$word"
    else
      ((place++))
    fi
    ((at++))
  done
  if [[ -n "$option" ]]; then
    case "$path:$option" in
${tables.values.map((line) => `  ${line}`).join('\n')}
    esac
    return
  fi
  if [[ "$cur" == -* ]]; then
    case "$path" in
${tables.options.map((line) => `  ${line}`).join('\n')}
    esac
    return
  fi
  case "$path:$place" in
${tables.places.join('\n')}
  esac
}

complete -F _${name} ${name}
`;
}
