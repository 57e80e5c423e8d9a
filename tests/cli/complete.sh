# SPDX-License-Identifier: GPL-3.0-or-later
# Completion: what the program offers, and what comes of it at the prompts of bash and, where it is, zsh.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" "$work/box"
cp "$source/scenarios/bridged-capacitor.yaml" "$work/box/bridged.yaml"

run 0 complete sw
quiet_err
out <<'END_OUT'
none
switch-on
END_OUT

# Every command and every option of every command, as help knows them.
run 0 --help
sed -n '/^commands:/,/^$/s/^  \([a-z-]*\) .*/\1/p' "$work/said/out" >"$work/commands"
run 0 complete ''
out <<END_OUT
none
$(cat "$work/commands")
END_OUT
while read -r command; do
  run 0 "$command" --help
  sed -n '/^options:/,/^$/s/^  \(--[a-z-]*\).*/\1/p' "$work/said/out" >"$work/options"
  run 0 complete "$command" -
  out <<END_OUT
none
$(cat "$work/options")
END_OUT
done <"$work/commands"

run 0 complete switch-on ''
out <<'END_OUT'
files
END_OUT
run 0 complete switch-on bridged.yaml --out ''
out_has folders
run 0 complete switch-on bridged.yaml --variant 'old one r'
out <<'END_OUT'
none
old one running away
END_OUT
run 0 complete switch-on bridged.yaml '--format=p'
out <<'END_OUT'
none
--format=png
END_OUT
run 0 complete parts 5Y3
out_has 5Y3-GT
run 0 complete parts fie
out_has "field coil"
run 0 complete new am
out_has amplifier
run 0 complete try small.yaml C1.va
out <<'END_OUT'
open
C1.value=
C1.value now=
END_OUT
run 0 complete try small.yaml C1.make=dry,fi
out <<'END_OUT'
open
C1.make=dry,film
END_OUT
run 0 complete try bridged.yaml V
out_has "V5."
run 0 complete find-value small.yaml --change C1.se
out_has "C1.series resistance"
run 0 complete reform small.yaml --part C
out_has C1
run 0 complete hot-chassis small.yaml --point A
out_has "AC in"

# What is wrong is no matter of the line that is being typed.
echo 'format: [' >broken.yaml
for file in broken.yaml missing.yaml; do
  run 0 complete switch-on "$file" --variant ''
  quiet_err
  run 0 complete hot-chassis "$file" --point ''
  quiet_err
done
run 0 complete nonsense ''
run 0 complete

# At a prompt: type, press the tab key, and see what words the line has come to. A root without
# /dev/pts has no terminal to type at.
if ! command -v python3 >/dev/null || ! python3 -c 'import pty; pty.openpty()' 2>/dev/null; then
  echo "SKIPPED at a prompt: no python3, or no pseudo-terminal here"
else
  ln -s "$program" presolder
  cat >prompt.py <<'END_PY'
import os, pty, select, shutil, sys, time

shells = {
    "bash": (["bash", "--norc", "--noprofile", "-i"],
             "bind 'set enable-bracketed-paste off'; . '%s/presolder.bash'"),
    "zsh": (["zsh", "-f", "-i"],
            "unset zle_bracketed_paste; fpath=('%s' $fpath); autoload -Uz compinit; compinit -u -D"),
}

def typed(shell, keys):
    command, setup = shells[shell]
    pid, fd = pty.fork()
    if pid == 0:
        os.environ.update(PATH=os.getcwd() + ":" + os.environ["PATH"], PS1="> ", TERM="dumb",
                          COLUMNS="200", HISTFILE="")
        os.execvp(shell, command)
    def until(text):
        seen, end = "", time.time() + 60
        while text not in seen and time.time() < end:
            if select.select([fd], [], [], 0.2)[0]:
                seen += os.read(fd, 4096).decode(errors="replace")
        return seen
    def say(text):
        os.write(fd, text.encode())
    say(setup % sys.argv[1] + "; words() { printf '<%s>' \"$@\"; echo EN''D; }; echo READ''Y\n")
    until("READY")
    say(keys + "\x01words \n")
    seen = until(">END")
    os.write(fd, b"exit\n")
    os.close(fd)
    os.waitpid(pid, 0)
    return seen[seen.rfind("<presolder"):].split("END")[0]

failed = 0
for keys, wanted in [
    ("presolder swi\t", "<presolder><switch-on>"),
    ("presolder switch-on bri\t", "<presolder><switch-on><bridged.yaml>"),
    ("presolder switch-on bridged.yaml --vari\told\\ one\\ r\t",
     "<presolder><switch-on><bridged.yaml><--variant><old one running away>"),
    ("presolder switch-on bridged.yaml --variant \"old one r\t",
     "<presolder><switch-on><bridged.yaml><--variant><old one running away>"),
    ("presolder switch-on bridged.yaml --format=p\t",
     "<presolder><switch-on><bridged.yaml><--format=png>"),
    ("presolder try small.yaml C1.make=pa\t", "<presolder><try><small.yaml><C1.make=paper>"),
    ("presolder try small.yaml C1.power\t", "<presolder><try><small.yaml><C1.power factor=>"),
]:
    for shell in shells:
        if not shutil.which(shell):
            continue
        seen = typed(shell, keys)
        if seen.strip() != wanted:
            print("FAILED: %s: %r came to %s and not %s" % (shell, keys, seen, wanted))
            failed = 1
sys.exit(failed)
END_PY
  python3 prompt.py "$source/src/package" || complain "completion at a prompt"
fi
done_
