package org.tarebook.control;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class WordsTests {

  /** "Point 4.460 kg is above the upper control limit 4.460 kg" contradicts itself. */
  @Test
  void aFigureDiffersFromTheOneItIsHeldAgainst() {
    assertThat(Words.number(4.46004, 0.02)).isEqualTo("4.460");
    assertThat(Words.number(4.46004, 0.02, 4.45998)).isEqualTo("4.46004");
    assertThat(Words.number(4.45998, 0.02, 4.46004)).isEqualTo("4.45998");
    assertThat(Words.number(4.46, 0.02, 4.40)).isEqualTo("4.460");
    assertThat(Words.number(4.46, 0.02, 4.46)).isEqualTo("4.460");
    assertThat(Words.number(0.1, 0, 0.1)).isEqualTo("0.1");
  }
}
