"""The wrongs that are done are those meant, and only they."""

from .mutants import mutants


def changes(source: str) -> set[str]:
    return {f"{one.was} -> {one.now}" for one in mutants(source)}


def test_a_comparison_is_shifted_and_turned_round():
    assert changes("a < b") == {"a < b -> a <= b", "a < b -> a > b"}
    assert changes("a is None") == {"a is None -> a is not None"}


def test_signs_figures_and_words_are_changed():
    assert changes("x = a - 2 * b") == {
        "a - 2 * b -> a + 2 * b",
        "2 * b -> 2 / b",
        "2 -> 3",
    }
    assert changes("p and not q") == {"p and (not q) -> p or not q", "not q -> q"}
    assert changes("f(True)") == {"True -> False"}


def test_types_options_and_text_are_left_alone():
    assert changes("def f(a: int | None = None) -> list[str]: return f'{a}' + 'b'") == set()
    assert changes("zip(a, b, strict=True)") == set()


def test_one_thing_is_wrong_at_a_time_and_its_line_is_known():
    found = list(mutants("x = 1\ny = x + 1\n"))
    assert [one.line for one in found] == [1, 2, 2]
    assert found[0].source == "x = 2\ny = x + 1"
