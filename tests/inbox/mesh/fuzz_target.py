"""What the fuzzer runs: `python3 -m tests.inbox.mesh.fuzz_target FOLDER`, with the words of libFuzzer behind it."""

import sys
import warnings

import atheris

with atheris.instrument_imports(include=["intake.inbox.mesh"]):
    import intake.inbox.mesh.formats  # noqa: F401  # instrumented before anything else imports it

from tests.inbox.mesh.hostile import expect_sound_or_refused

if __name__ == "__main__":
    warnings.simplefilter("ignore")
    atheris.Setup(sys.argv, expect_sound_or_refused)
    atheris.Fuzz()
