package org.tarebook.access;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class TokensTests {

  @ParameterizedTest
  @ValueSource(strings = {"PT0S", "-PT1S", "P730DT0.000001S", "P731D"})
  void aUsualLifeThatNoTokenMayHaveStopsTheStart(String life) {
    assertThatThrownBy(() -> Tokens.checkedLife(Duration.parse(life)))
        .hasMessage(
            "tarebook.token-life must be longer than 0 and at most P730D, was "
                + Duration.parse(life)
                + ".");
  }

  @ParameterizedTest
  @ValueSource(strings = {"PT0.000001S", "P365D", "P730D"})
  void aUsualLifeOfUpTo730DaysIsTaken(String life) {
    assertThat(Tokens.checkedLife(Duration.parse(life))).isEqualTo(Duration.parse(life));
  }
}
