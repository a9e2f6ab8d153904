"""The bars that a measurement must reach, and what it reached."""


class Bars:
    def __init__(self):
        self.lines = []
        self.missed = 0
        self.failed = 0

    def at_least(self, name, value, bar, count="", floor=None):
        """A bar known to be missed has a floor: only below this the run fails."""
        self._add(name, value, f">= {bar:.5g}", value >= bar, count)
        if value < bar and floor is not None and value >= floor:
            self.failed -= 1
            self.lines[-1] += f", known (fails below {floor})"

    def at_most(self, name, value, bar, count=""):
        self._add(name, value, f"<= {bar:.5g}", value <= bar, count)

    def _add(self, name, value, bar, reached, count):
        # Five digits, so that a bar missed by one row in a thousand is seen to be missed.
        verdict = "reached" if reached else "MISSED"
        self.lines.append(f"  {name:38}{value:9.5f} {bar:11}{verdict}  {count}".rstrip())
        self.missed += not reached
        self.failed += not reached

    def verdict(self):
        """Prints all bars; gives the exit code."""
        print("\nBars")
        print("\n".join(self.lines))
        print(f"{len(self.lines) - self.missed} reached, {self.missed} missed")
        return 1 if self.failed else 0
