package org.tarebook.stats;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** The watch that follows points one by one, against the search of a whole series. */
class RunRuleWatchTests {

  private static List<Integer> watched(RunRule rule, double... z) {
    RunRuleWatch watch = new RunRuleWatch(List.of(rule));
    List<Integer> found = new ArrayList<>();
    for (int i = 0; i < z.length; i++) {
      if (watch.next(z[i])) {
        found.add(i);
      }
    }
    assertThat(RunRules.signals(z, List.of(rule)).stream().map(RunSignal::completedAt))
        .as(rule.code())
        .containsExactlyElementsOf(found);
    return found;
  }

  @Test
  void aBandThatNeedsBothSidesCountsTheCentreLineAsNeither() {
    BandRule inside = new BandRule("inside", 3, 1, true, true, true);
    assertThat(watched(inside, 0.5, 0, 0.5, 0, -0.5, 0, 0, 0)).containsExactly(4);
    assertThat(watched(inside, -0.5, 0, -0.5, 0, 0.5)).containsExactly(4);
    BandRule outside = new BandRule("outside", 3, 1, false, true, true);
    // The side seen before the window began is forgotten.
    assertThat(watched(outside, -2, 2, 2, 2, 2, -2, -2, -2)).containsExactly(2, 5, 6);
  }

  @Test
  void everyWindowUpToTheLongestIsFollowed() {
    for (int window = 2; window <= RunRule.LONGEST_WINDOW; window++) {
      double[] z = new double[window + 1];
      Arrays.fill(z, 2);
      ZoneRule zone = new ZoneRule("zone", window, window, 0, true);
      assertThat(watched(zone, z)).containsExactly(window - 1, window);
      BandRule band = new BandRule("band", window, 1, false, true, true);
      z[0] = -2;
      assertThat(watched(band, z)).containsExactly(window - 1);
      if (window > 2) {
        for (int i = 0; i <= window; i++) {
          z[i] = i;
        }
        assertThat(watched(new TrendRule("trend", window), z)).containsExactly(window - 1, window);
        for (int i = 0; i <= window; i++) {
          z[i] = i % 2;
        }
        AlternationRule alternation = new AlternationRule("alternation", window);
        assertThat(watched(alternation, z)).containsExactly(window - 1, window);
      }
    }
  }

  @Test
  void shortBandsOfRandomPointsAreFoundAlike() {
    Random random = new Random(65);
    for (boolean inside : new boolean[] {true, false}) {
      for (boolean strict : new boolean[] {true, false}) {
        for (int window : new int[] {2, 3, 5}) {
          double[] z = random.doubles(3000, -5, 5).map(v -> Math.rint(v) / 2).toArray();
          assertThat(watched(new BandRule("both", window, 1, inside, true, strict), z))
              .isNotEmpty();
        }
      }
    }
  }

  @Test
  void forgetsEverythingWhenSet() {
    List<RunRule> rules =
        List.of(
            new ZoneRule("zone", 2, 2, 1, true),
            new TrendRule("trend", 3),
            new BandRule("band", 2, 1, false, false, true));
    for (RunRule rule : rules) {
      RunRuleWatch watch = new RunRuleWatch(List.of(rule));
      assertThat(watch.next(1.5)).isFalse();
      watch.next(1.6);
      watch.reset();
      assertThat(watch.next(1.7)).as(rule.code()).isFalse();
    }
  }

  @Test
  void refusesWindowsOutsideTheirBounds() {
    assertThatThrownBy(() -> new BandRule("b", 1, 1, true, false, true))
        .hasMessage("rule b asks for 1 points, must be 2 to 64");
    assertThatThrownBy(() -> new TrendRule("t", 65))
        .hasMessage("rule t asks for 65 points, must be 3 to 64");
    assertThatThrownBy(() -> new ZoneRule("z", 1, 65, 1, true))
        .hasMessage("rule z asks for 1 of 65 points, must be 1 or more of at most 64");
    assertThatThrownBy(() -> new ZoneRule("z", 0, 3, 1, true))
        .hasMessage("rule z asks for 0 of 3 points, must be 1 or more of at most 64");
  }
}
