"""The engine against SimPy's own environment: the same things happen, at the same time, in the same order."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pytest
import simpy
from rigs import printing_plan
from simpy.events import EventPriority

from sitesim.site import Stage, play
from sitesim.site.engine import Engine

Told = list[tuple[float, str]]


def crowd(env: simpy.Environment, seed: int) -> tuple[Told, simpy.Event]:
    """Let a crowd wait for times, for each other and for events with ties in time; returns what they tell and an end.

    The random numbers are drawn as the processes go, so that any other order of events tells another tale. Some pass
    hours that SimPy has an event for and our engine has not.
    """
    hours: Callable[[int], simpy.Event | int | float] = env.timeout
    if isinstance(env, Engine):
        hours = Random(seed).choice((int, float))
    dice = Random(seed)
    told: Told = []
    signals = [env.event() for _ in range(12)]
    end = env.event()

    def child(name: str) -> Iterator[simpy.Event | float]:
        told.append((env.now, f"{name} begins"))
        yield hours(dice.randrange(3))
        told.append((env.now, f"{name} ends"))
        return name

    def walker(name: str) -> Iterator[simpy.Event | float]:
        for step in range(12):
            kind = dice.randrange(6)
            value: Any = None
            if kind == 0:
                value = yield hours(dice.randrange(4))
            elif kind == 1:
                value = yield env.timeout(dice.randrange(4), value=step)
            elif kind == 2:
                value = yield env.process(child(f"{name}.{step}"))
            elif kind == 3:
                open_signals = [signal for signal in signals if not signal.triggered]
                if open_signals:
                    dice.choice(open_signals).succeed(name)
            elif kind == 4:
                value = yield dice.choice(signals) | env.timeout(dice.randrange(5))
                value = len(value.events)
            else:
                late = env.event()
                late._ok, late._value = True, None
                late.callbacks.append(lambda _, step=step: told.append((env.now, f"{name} late {step}")))
                env.schedule(late, EventPriority(dice.randrange(3)), dice.randrange(2))
            told.append((env.now, f"{name} {step} {kind} {value}"))
        left.remove(name)
        if not left:
            end.succeed("over")

    left = [str(number) for number in range(8)]
    for name in tuple(left):
        env.process(walker(name))
    return told, end


@pytest.mark.parametrize("seed", range(50))
def test_the_same_happens_in_the_same_order_as_in_simpy(seed: int) -> None:
    tales = []
    for env in (simpy.Environment(), Engine()):
        told, end = crowd(env, seed)
        assert env.run(until=end) == "over"
        tales.append((told, env.now, env.peek()))
    assert tales[0] == tales[1]
    assert len(tales[0][0]) >= 8 * 12


def test_a_site_played_event_by_event_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    stage = Stage(printing_plan(buildings=3))
    at_once = play(stage, 1, 0, keep_diary=True).ledger
    monkeypatch.setattr(Engine, "run", simpy.Environment.run)
    step_by_step = play(stage, 1, 0, keep_diary=True).ledger
    assert at_once.entries == step_by_step.entries
    assert at_once.diary == step_by_step.diary


def test_an_event_that_is_past_is_not_waited_for() -> None:
    env = Engine()
    past = env.event()
    past.succeed("news")

    def late() -> Iterator[simpy.Event]:
        yield env.timeout(2.0)
        assert (yield past) == "news"
        assert env.now == 2.0

    env.run(until=env.process(late()))
    assert env.now == 2.0
    assert env.run(until=past) == "news"


def fails_in_a_story(env: Engine) -> Iterator[simpy.Event]:
    yield env.timeout(1.0)
    raise KeyError("lost")


def fails_for_a_story(env: Engine) -> Iterator[simpy.Event]:
    event = env.event()
    event.fail(KeyError("lost"))
    yield event


def fails_for_nobody(env: Engine) -> Iterator[simpy.Event]:
    env.event().fail(KeyError("lost"))
    yield env.timeout(1.0)


@pytest.mark.parametrize("story", [fails_in_a_story, fails_for_a_story, fails_for_nobody])
def test_a_failure_comes_out_of_the_run(story: Callable[[Engine], Iterator[simpy.Event]]) -> None:
    env = Engine()
    env.process(story(env))
    with pytest.raises(KeyError, match="lost"):
        env.run(until=env.event())


def test_a_failure_may_be_taken_care_of() -> None:
    env = Engine()

    def careful() -> Iterator[simpy.Event]:
        event = env.event()
        event.fail(KeyError("lost"))
        try:
            yield event
        except KeyError:
            yield env.timeout(3.0)

    env.run(until=env.process(careful()))
    assert env.now == 3.0


def test_a_run_in_which_nothing_is_left_says_so() -> None:
    env = Engine()
    env.timeout(4.0)
    with pytest.raises(RuntimeError, match="nothing is left"):
        env.run(until=env.event())
    assert env.now == 4.0


def test_time_does_not_go_back_and_an_event_happens_once() -> None:
    env = Engine()
    with pytest.raises(ValueError, match="Negative delay"):
        env.timeout(-1.0)

    def backwards() -> Iterator[float]:
        yield -1.0

    env.process(backwards())
    with pytest.raises(ValueError, match="Negative delay"):
        env.run(until=env.event())
    with pytest.raises(RuntimeError, match="already"):
        Engine().event().succeed().succeed()
