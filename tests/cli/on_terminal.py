"""A program on a terminal of its own, with keys pressed after so many seconds.

Usage: on_terminal.py SCREEN "KEYS" PROGRAM ARGUMENT...

KEYS is a list of SECONDS:KEY, KEY "^C" alone so far. What comes to the terminal goes to the file
SCREEN, byte for byte. Ends as the program does: with its exit status, or 128 and its signal.
"""
import fcntl, os, pty, select, signal, struct, sys, termios, time


def main():
    screen, keys = sys.argv[1], [key.split(":") for key in sys.argv[2].split()]
    program, terminal = pty.fork()
    if program == 0:
        fcntl.ioctl(1, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 100, 0, 0))
        signal.signal(signal.SIGINT, signal.SIG_DFL)  # it is ignored where the tests run in the background
        os.execvp(sys.argv[3], sys.argv[3:])
    began = time.monotonic()
    with open(screen, "wb") as seen:
        while True:
            if keys and time.monotonic() - began >= float(keys[0][0]):
                os.write(terminal, {"^C": b"\x03"}[keys.pop(0)[1]])
            if not select.select([terminal], [], [], 0.05)[0]:
                continue
            try:
                came = os.read(terminal, 65536)
            except OSError:  # the other end is closed
                break
            if not came:
                break
            seen.write(came)
    status = os.waitpid(program, 0)[1]
    sys.exit(os.WEXITSTATUS(status) if os.WIFEXITED(status) else 128 + os.WTERMSIG(status))


main()
