"""From the trained network to Kaldi's final.mdl: normalisation folded away, layers as config lines.

python -m models.training.export --checkpoint FILE --folder models/en
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray

from assistant.speech.acoustic_file import AcousticModel, Component, Kind, write
from models.training.features import CEPSTRA, MFCC_CONF
from models.training.network import LAYERS, NumberNet

PRIORS_POWER = 0.9


def acoustic_model(net: NumberNet, priors: NDArray[np.float32]) -> AcousticModel:
    """`net` as Kaldi will run it, dividing its output by `priors`."""
    dim = int(net.mean.shape[0])
    config = [f"input-node name=input dim={dim}"]
    components: list[Component] = []
    previous = "input"
    for number, layer in enumerate(LAYERS):
        name = f"layer{number}"
        weights, bias = folded_layer(net, number)
        components.append(Component(f"{name}.affine", Kind.AFFINE, len(bias), weights, bias))
        components.append(Component(f"{name}.relu", Kind.RECTIFIER, len(bias)))
        shifted = (f"Offset({previous}, {o})" if o else previous for o in layer.offsets)
        config.append(node(f"{name}.affine", f"Append({', '.join(shifted)})"))
        config.append(node(f"{name}.relu", f"{name}.affine"))
        if layer.residual:
            components.append(Component(f"{name}.sum", Kind.SUM, len(bias)))
            config.append(node(f"{name}.sum", f"Sum({previous}, {name}.relu)"))
        previous = f"{name}.sum" if layer.residual else f"{name}.relu"
    weights, bias = array(net.output.weight), array(net.output.bias)
    components.append(Component("output.affine", Kind.AFFINE, len(bias), weights, bias))
    components.append(Component("output.softmax", Kind.LOG_SOFTMAX, len(bias)))
    config.append(node("output.affine", previous))
    config.append(node("output.softmax", "output.affine"))
    config.append("output-node name=output input=output.softmax objective=linear")
    return AcousticModel(tuple(config), tuple(components), priors.astype(np.float32))


def node(name: str, descriptor: str) -> str:
    return f"component-node name={name} component={name} input={descriptor}"


def array(tensor: torch.Tensor) -> NDArray[np.float32]:
    result: NDArray[np.float32] = tensor.detach().cpu().float().numpy()
    return result


def folded_layer(net: NumberNet, number: int) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """The affine map of a layer (rows out; columns offset by offset) with its batch normalisation folded in, and
    for the first layer the normalisation of the features too."""
    convolution, norm = net.convolutions[number], net.norms[number]
    kernel = array(convolution.weight)  # type: ignore[arg-type]
    gain = array(norm.weight) / np.sqrt(array(norm.running_var) + norm.eps)  # type: ignore[arg-type,operator]
    bias = array(norm.bias) - array(norm.running_mean) * gain  # type: ignore[arg-type]
    kernel = kernel * gain[:, None, None]
    if number == 0:
        mean, scale = array(net.mean), array(net.scale)
        kernel = kernel * scale[None, :, None]
        bias = bias - np.einsum("oik,i->o", kernel, mean)
    return np.ascontiguousarray(kernel.transpose(0, 2, 1).reshape(len(kernel), -1)), bias


def tempered_priors(mean_posterior: NDArray[np.float64], power: float) -> NDArray[np.float32]:
    """The mean posterior to `power`, scaled to sum to 1: a CTC net's own priors would delete most short words."""
    raised = np.power(mean_posterior, power)
    result: NDArray[np.float32] = (raised / raised.sum()).astype(np.float32)
    return result


MODEL_CONF = """--min-active=200
--max-active=3000
--beam=14.0
--lattice-beam=8.0
--acoustic-scale=1.0
--frame-subsampling-factor=3
--endpoint.silence-phones=1
--endpoint.rule2.min-trailing-silence=0.9
--endpoint.rule3.min-trailing-silence=1.0
--endpoint.rule4.min-trailing-silence=2.0
"""


def write_model(checkpoint: Path, folder: Path, priors_power: float) -> None:
    """Write am/final.mdl and conf/ of a language's model folder from a checkpoint of models.training.train.

    Raises ValueError when the checkpoint was trained on other units than the folder's units.txt names.
    """
    kept = torch.load(checkpoint, map_location="cpu", weights_only=False)
    units = tuple((folder / "units.txt").read_text("utf-8").split())
    if tuple(kept["units"]) != units:
        raise ValueError(f"{checkpoint} was trained on other units than those in {folder / 'units.txt'}")
    net = NumberNet(len(units), kept["width"], CEPSTRA).eval()
    net.load_state_dict(kept["net"])
    priors = tempered_priors(kept["mean_posterior"], priors_power)
    for name, data in (
        ("am/final.mdl", write(acoustic_model(net, priors))),
        ("conf/mfcc.conf", MFCC_CONF.encode()),
        ("conf/model.conf", MODEL_CONF.encode()),
    ):
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--checkpoint", type=Path, required=True)
    parser.add_argument(
        "--folder", type=Path, required=True, help="models/<language>; holds units.txt already"
    )
    parser.add_argument("--priors-power", type=float, default=PRIORS_POWER)
    arguments = parser.parse_args()
    write_model(arguments.checkpoint, arguments.folder, arguments.priors_power)


if __name__ == "__main__":
    main()
