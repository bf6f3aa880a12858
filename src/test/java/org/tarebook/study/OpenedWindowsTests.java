package org.tarebook.study;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class OpenedWindowsTests {

  @Test
  void tenThousandPointsAreListedAndTheRestIsCounted() {
    List<Integer> all = IntStream.range(0, 10_001).boxed().toList();
    assertThat(OpenedWindows.listed(all)).hasSize(10_000).startsWith(0).endsWith(9_999);
    assertThat(OpenedWindows.unlisted(all.size())).isEqualTo(1);
    assertThat(OpenedWindows.listed(all.subList(0, 10_000))).hasSize(10_000);
    assertThat(OpenedWindows.unlisted(10_000)).isZero();
    assertThat(OpenedWindows.unlisted(3)).isZero();
  }
}
