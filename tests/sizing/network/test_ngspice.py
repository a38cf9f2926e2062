"""50 seeded random radial networks against the circuit solver ngspice, and against Kirchhoff's laws.

ngspice is a Debian package that the test set-up installs; nothing here is passed over when it is missing.
"""

import random
import re
import shutil
import subprocess

import pytest

from ribway.sizing.network.parts import Load, Network, Piece, Source
from ribway.sizing.network.solve import solve_network

CASES = 50


def random_network(rng):
    """A positive and a negative tree of different shapes, with loads of all kinds between them."""
    open_v = rng.choice([12.0, 12.8, 25.6, 51.2])
    source = Source(open_v, rng.choice([0.0, rng.uniform(0.001, 0.02)]))
    pieces, sides = [], {}
    for sign in "+-":
        nodes = [sign]
        for number in range(rng.randint(1, 12)):
            node = f"n{number}{sign}"
            fixed = rng.choice([0.0, 0.0, 0.03])
            ends = [rng.choice(nodes), node]
            rng.shuffle(ends)
            pieces.append(Piece(f"w{number}{sign}", *ends, rng.uniform(0.0005, 0.03), fixed))
            nodes.append(node)
        sides[sign] = nodes
    loads = []
    for number in range(rng.randint(1, 10)):
        kind = rng.choice(["amps", "watts", "ohms"])
        amps = rng.uniform(0.2, 5.0)
        value = {"amps": amps, "watts": amps * open_v, "ohms": open_v / amps}[kind]
        loads.append(Load(f"l{number}", rng.choice(sides["+"]), rng.choice(sides["-"]), kind, value))
    rng.shuffle(pieces)
    return Network(source, tuple(pieces), tuple(loads))


def netlist(network):
    """The same network in ngspice's words; node 0 is the negative terminal."""
    source = network.source
    name = {source.plus: "plus", source.minus: "0"}

    def node(one):
        return name.setdefault(one, "n" + re.sub(r"\W", "", one.replace("+", "p").replace("-", "m")))

    # A fixed loss acts only where current flows, against the flow: away from the source on +, towards it on -.
    users = {piece.id: used_by(network, piece.id) for piece in network.pieces}
    inner = f"Rint source plus {source.internal_ohm!r}" if source.internal_ohm else "Vint source plus DC 0"
    lines = ["* radial network", f"Vs source 0 DC {source.open_v!r}", inner]
    for number, piece in enumerate(network.pieces):
        a, b = node(piece.a), node(piece.b)
        lines.append(f"R{number} {a} mid{number} {piece.ohm!r}")
        loss = piece.fixed_v if users[piece.id] else 0.0
        if users[piece.id] == "from b":
            loss = -loss
        lines.append(f"V{number} mid{number} {b} DC {loss!r}")
    for number, load in enumerate(network.loads):
        p, n = node(load.plus), node(load.minus)
        if load.kind == "amps":
            lines.append(f"I{number} {p} {n} DC {load.value!r}")
        elif load.kind == "ohms":
            lines.append(f"RL{number} {p} {n} {load.value!r}")
        else:
            lines.append(f"B{number} {p} {n} I={load.value!r}/max(V({p},{n}),1)")
    guesses = [f"V({one})={0.0 if one.endswith('m') else source.open_v}" for one in name.values() if one != "0"]
    lines.append(".nodeset " + " ".join(guesses))
    lines += [
        ".options reltol=1e-10 vntol=1e-11 abstol=1e-11 gmin=1e-15 itl1=500",
        ".op",
        ".control",
        "set numdgt=12",
        "op",
    ]
    ends = [(f"v({node(load.plus)})", f"v({node(load.minus)})") for load in network.loads]
    lines += ["print " + (p if n == "v(0)" else f"{p}-{n}") for p, n in ends]
    return "\n".join([*lines, "print v(plus)", "quit", ".endc", ".end"]) + "\n"


def used_by(network, piece_id):
    """Which way current flows through a piece, found by cutting it: `from a`, `from b` or nothing."""
    piece = next(one for one in network.pieces if one.id == piece_id)

    def joined(start):
        found, again = {start}, True
        while again:
            again = False
            for one in network.pieces:
                if one.id != piece_id and (one.a in found) != (one.b in found):
                    found |= {one.a, one.b}
                    again = True
        return found

    far, near_end = (piece.b, "a") if {"+", "-"} & joined(piece.a) else (piece.a, "b")
    behind = joined(far)
    if not any({load.plus, load.minus} & behind for load in network.loads):
        return ""
    on_plus = any(load.plus in behind for load in network.loads)
    if on_plus:
        return f"from {near_end}"
    return "from b" if near_end == "a" else "from a"


def ask_ngspice(text, tmp_path):
    program = shutil.which("ngspice")
    assert program is not None, (
        "the circuit solver ngspice is missing; make test installs it, or: apt-get install ngspice"
    )
    file = tmp_path / "network.cir"
    file.write_text(text, encoding="utf-8")
    done = subprocess.run([program, "-b", str(file)], capture_output=True, text=True, check=False, cwd=tmp_path)
    return [float(found) for found in re.findall(r"^v\(.*=\s*(\S+)$", done.stdout, re.M)]


@pytest.mark.parametrize("seed", range(CASES))
def test_network_agrees_with_ngspice(seed, tmp_path):
    network = random_network(random.Random(4100 + seed))
    solved = solve_network(network)
    ours = [solved.loads[load.id].volts for load in network.loads] + [solved.source_v]
    theirs = ask_ngspice(netlist(network), tmp_path)
    assert len(theirs) == len(ours)
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-9)
    assert min(ours) < network.source.open_v  # something is lost


@pytest.mark.parametrize("seed", range(200))
def test_kirchhoffs_laws_hold(seed):
    """What flows into a node flows out of it, and each piece loses ohm times amps plus its fixed loss."""
    network = random_network(random.Random(9000 + seed))
    solved = solve_network(network)
    into = dict.fromkeys(solved.node_v, 0.0)
    for piece in network.pieces:
        amps = solved.piece_amps.get(piece.id, 0.0)
        high, low = (piece.a, piece.b) if solved.node_v[piece.a] >= solved.node_v[piece.b] else (piece.b, piece.a)
        lost = solved.node_v[high] - solved.node_v[low]
        assert lost == pytest.approx(piece.ohm * amps + (piece.fixed_v if amps > 0 else 0.0), abs=1e-9)
        into[high] -= amps
        into[low] += amps
    for load in network.loads:
        at = solved.loads[load.id]
        assert at.volts == pytest.approx(solved.node_v[load.plus] - solved.node_v[load.minus], abs=1e-9)
        kept = {"amps": at.amps, "watts": at.amps * at.volts, "ohms": at.volts / at.amps}[load.kind]
        assert kept == pytest.approx(load.value, rel=1e-9)
        into[load.plus] -= at.amps
        into[load.minus] += at.amps
    into["+"] += solved.source_a
    into["-"] -= solved.source_a
    assert max(abs(left) for left in into.values()) < 1e-9
