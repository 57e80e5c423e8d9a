# SPDX-License-Identifier: GPL-3.0-or-later
# Completion of presolder in bash: the program knows what may stand where, and in the scenario named.

_presolder() {
  local line=() word begun head answer first
  # bash splits words at = and : too; presolder wants them whole.
  for ((i = 1; i <= COMP_CWORD; i++)); do
    word=${COMP_WORDS[i]}
    if ((${#line[@]} > 0)) && [[ ($word == [=:]* || ${line[-1]} == *[=:]) ]]; then
      line[-1]+=$word
    else
      line+=("$word")
    fi
  done
  begun=${line[-1]}
  # Without quotes and backslashes, as presolder will see them.
  for i in "${!line[@]}"; do
    word=${line[i]#[\"\']}
    ((i < ${#line[@]} - 1)) && word=${word%[\"\']}
    line[i]=${word//\\/}
  done
  mapfile -t answer < <("${COMP_WORDS[0]/#\~/$HOME}" complete "${line[@]}" 2>/dev/null)
  first=${answer[0]:-none}
  answer=("${answer[@]:1}")
  # What readline keeps of the word itself.
  head=
  [[ $begun != [\"\']* && $begun == *[=:]* ]] && head=${begun%"${begun##*[=:]}"}
  head=${head//\\/}
  COMPREPLY=()
  for word in "${answer[@]}"; do
    word=${word#"$head"}
    [[ $begun == [\"\']* ]] || printf -v word %q "$word"
    COMPREPLY+=("$word")
  done
  case $first in
  files) compopt -o filenames; mapfile -t COMPREPLY < <(compgen -f -- "${line[-1]#"$head"}") ;;
  folders) compopt -o filenames; mapfile -t COMPREPLY < <(compgen -d -- "${line[-1]#"$head"}") ;;
  open) compopt -o nospace ;;
  esac
}
complete -F _presolder presolder
