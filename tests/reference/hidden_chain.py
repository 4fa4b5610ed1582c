"""Most likely paths and posteriors of hidden Markov chains, by hmmlearn (CategoricalHMM).

In: {"chains": [{"start": [...], "matrix": [[...], ...], "emission": [[...], ...], "symbols": [...]}, ...]}; emission has
a row a state, a column a symbol. Out: [{"path": [...], "log_probability": p, "posteriors": [[...], ...]}, ...].
"""

import json
import sys

import numpy as np
from hmmlearn.hmm import CategoricalHMM

answers = []
for chain in json.load(sys.stdin)["chains"]:
    model = CategoricalHMM(n_components=len(chain["start"]))
    model.startprob_ = np.array(chain["start"])
    model.transmat_ = np.array(chain["matrix"])
    model.emissionprob_ = np.array(chain["emission"])
    symbols = np.array(chain["symbols"]).reshape(-1, 1)
    log_probability, path = model.decode(symbols, algorithm="viterbi")
    posteriors = model.predict_proba(symbols)
    answers.append({"path": path.tolist(), "log_probability": log_probability, "posteriors": posteriors.tolist()})
json.dump(answers, sys.stdout)
