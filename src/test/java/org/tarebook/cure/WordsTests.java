package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class WordsTests {

  /** A sentence that says "165 at the lowest, wanted at least 165" contradicts itself. */
  @Test
  void aNumberDiffersFromTheLimitItIsHeldAgainst() {
    assertThat(Words.number(164.96)).isEqualTo("165");
    assertThat(Words.number(164.96, 165)).isEqualTo("164.96");
    assertThat(Words.number(5.99996, 6)).isEqualTo("5.99996");
    assertThat(Words.number(6, 6)).isEqualTo("6");
    assertThat(Words.number(12.3456, 6)).isEqualTo("12.35");
    assertThat(Words.number(20 - 1e-12, 20)).isEqualTo("20");
    assertThat(Words.number(72 + 1e-6 / 3600, 72)).isEqualTo("72.0000000003");
  }

  /** Both may be rounded; "1.234 apart, at most 1.234" contradicts itself too. */
  @Test
  void aNumberDiffersFromOneThatIsRoundedLikewise() {
    assertThat(Words.number(1.23444, 1.23437)).isEqualTo("1.23444");
    assertThat(Words.number(1.23437, 1.23444)).isEqualTo("1.23437");
    assertThat(Words.number(9.99996, 10)).isEqualTo("9.99996");
    assertThat(Words.number(10, 9.99996)).isEqualTo("10");
    assertThat(Words.number(-0.0001)).isEqualTo("0");
  }

  @Test
  void aTimeDiffersFromTheLimitItIsHeldAgainst() {
    assertThat(Words.seconds(1489.8, 1490)).isEqualTo("1489.8 s");
    assertThat(Words.seconds(1489.8)).isEqualTo("24.83 min");
    assertThat(Words.seconds(1200, 1490)).isEqualTo("20 min");
    assertThat(Words.seconds(15.0004, 15)).isEqualTo("15.0004 s");
  }
}
