import sys
from pathlib import Path

# the trial is run from the repository's root, as `python -m bench.trial.simulate`
sys.path.insert(0, str(Path(__file__).parents[2]))
