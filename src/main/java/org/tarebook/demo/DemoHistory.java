package org.tarebook.demo;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.jspecify.annotations.Nullable;
import org.tarebook.reading.Flag;
import org.tarebook.reading.Phase;
import org.tarebook.reading.Posting;

/**
 * Makes the postings of the demo, an hour at a time. The stories in them: the die of tread line 1
 * wears until it is changed; the night shift of line 2 runs light; drum 2's scale was knocked; the
 * bead scale is too coarse; two lots of fabric are mixed at the calender; drum 1 weighs tyres again
 * until they pass.
 */
final class DemoHistory {

  private static final Scatter TREAD_1_MASS = new Scatter(12.372, 0.026, 0.005, 3);
  private static final Scatter TREAD_1_LENGTH = new Scatter(84.50, 0.042, 0.01, 2);
  private static final Scatter TREAD_2_MASS = new Scatter(8.402, 0.018, 0.005, 3);
  private static final Scatter TREAD_2_LENGTH = new Scatter(2146.1, 1.1, 0.1, 1);
  private static final Scatter BATCH = new Scatter(218.80, 0.22, 0.02, 2);
  private static final Scatter SULPHUR = new Scatter(3.2735, 0.0075, 0.001, 3);
  private static final Scatter GAUGE = new Scatter(1.098, 0.0085, 0.001, 3);
  private static final Scatter PLY = new Scatter(611.7, 0.78, 0.1, 1);
  private static final Scatter BEAD = new Scatter(297.8, 2.2, 5, 0);
  private static final Scatter GREEN_TYRE = new Scatter(27.41, 0.085, 0.01, 2);
  private static final Scatter TYRE = new Scatter(27.12, 0.09, 0.01, 2);
  private static final Scatter RUNOUT = new Scatter(0.20, 0.27, 0.01, 2);
  private static final Scatter PEEL = new Scatter(9.3, 0.65, 0.01, 2);

  /** The moment drum 2's scale is knocked, after the start. */
  static final Duration KNOCK = Duration.ofDays(11).plusHours(4).plusMinutes(20);

  /** The moment the worn die of tread line 1 is changed, after the start. */
  private static final Duration DIE_CHANGE = Duration.ofDays(17).plusHours(8);

  private final Instant start;
  private final Random random;
  private final List<Posting> hour = new ArrayList<>();
  private final List<String> greenTyres = new ArrayList<>();
  private long strips1;
  private long strips2;
  private long tyres;
  private long others;

  DemoHistory(Instant start, long seed) {
    this.start = start;
    this.random = new Random(seed);
  }

  /** The postings of the hour that begins at a moment, in the order they were measured. */
  List<Posting> hour(Instant from) {
    hour.clear();
    greenTyres.clear();
    if (works(start, from)) {
      every(from, 45, 0, this::tread1);
      every(from, 45, 20, this::tread2);
      every(from, 300, 60, this::batch);
      every(from, 300, 200, this::bag);
      every(from, 200, 30, this::gauge);
      every(from, 240, 90, this::ply);
      every(from, 180, 10, this::bead);
      every(from, 480, 100, at -> greenTyre(at, 1));
      every(from, 480, 260, at -> greenTyre(at, 2));
      every(from, 480, 420, at -> greenTyre(at, 3));
      every(from, 480, 300, this::tyre);
      if (from.atZone(ZoneOffset.UTC).getHour() % 6 == 3) {
        every(from, 3600, 1500, this::peel);
      }
    }
    hour.sort(Comparator.comparing(Posting::measuredAt));
    return List.copyOf(hour);
  }

  /** The plant rests on the sixth day of each week of its history. */
  static boolean works(Instant start, Instant hour) {
    return Duration.between(start, hour).toDays() % 7 != 5;
  }

  /** The numbers of the green tyres built in the hour last made. */
  List<String> greenTyres() {
    return List.copyOf(greenTyres);
  }

  private interface Work {
    void at(Instant moment);
  }

  private static void every(Instant from, int seconds, int first, Work work) {
    for (int second = first; second < 3600; second += seconds) {
      work.at(from.plusSeconds(second));
    }
  }

  private double daysSinceStart(Instant at) {
    return Duration.between(start, at).toSeconds() / 86_400.0;
  }

  private static boolean night(Instant at) {
    int hour = at.atZone(ZoneOffset.UTC).getHour();
    return hour >= 22 || hour < 6;
  }

  private void tread1(Instant at) {
    boolean changed = !at.isBefore(start.plus(DIE_CHANGE));
    double wear = changed ? 0 : 0.008 * Math.max(0, daysSinceStart(at) - 8);
    Phase phase =
        changed && at.isBefore(start.plus(DIE_CHANGE).plus(Duration.ofMinutes(30)))
            ? Phase.CHANGEOVER
            : Phase.RUNNING;
    add(
        new Draft("T1-W1", "TR-118-MASS", TREAD_1_MASS.show(random, wear), "[lb_av]", at)
            .counter(++strips1)
            .die(changed ? "D8" : "D7")
            .phase(phase)
            .place("TK" + (1 + strips1 / 120 % 9), String.valueOf(1 + strips1 / 10 % 12))
            .with("TR-118-LENGTH", TREAD_1_LENGTH.show(random, 0), "[in_i]"));
  }

  private void tread2(Instant at) {
    double light = night(at) && daysSinceStart(at) > 6 ? -0.021 : 0;
    Draft draft =
        new Draft("T2-W1", "TR-204-MASS", TREAD_2_MASS.show(random, light), "kg", at)
            .counter(++strips2)
            .die("D3")
            .place("TK" + (21 + strips2 / 120 % 9), String.valueOf(1 + strips2 / 10 % 12))
            .with("TR-204-LENGTH", TREAD_2_LENGTH.show(random, 0), "mm");
    add(strips2 % 4001 == 0 ? draft.flag(Flag.UNSTABLE) : draft);
  }

  private void batch(Instant at) {
    add(
        new Draft("MX-W1", "K-12-MASS", BATCH.show(random, 0), "kg", at)
            .counter(++others)
            .lot("B" + (1000 + Duration.between(start, at).toMinutes() / 5)));
  }

  private void bag(Instant at) {
    add(
        new Draft("MX-W2", "K-12-S-MASS", SULPHUR.show(random, 0), "kg", at)
            .counter(++others)
            .lot("S" + (40 + (long) daysSinceStart(at) / 4)));
  }

  private void gauge(Instant at) {
    boolean mixed = daysSinceStart(at) > 14 && daysSinceStart(at) < 15 && random.nextBoolean();
    add(
        new Draft("CA-G1", "F-31-GAUGE", GAUGE.show(random, mixed ? 0.021 : 0), "mm", at)
            .counter(++others)
            .lot(mixed ? "FL-88" : "FL-" + (60 + (long) daysSinceStart(at))));
  }

  private void ply(Instant at) {
    add(
        new Draft("BC-L1", "PL-61-WIDTH", PLY.show(random, 0), "mm", at)
            .counter(++others)
            .operator(night(at) ? "op-31" : "op-14"));
  }

  private void bead(Instant at) {
    add(new Draft("BD-W1", "BE-7-MASS", BEAD.show(random, 0), "g", at).counter(++others));
  }

  private void greenTyre(Instant at, int drum) {
    String station = "BL-D" + drum;
    String number = "G" + (360_000 + ++tyres);
    greenTyres.add(number);
    boolean knocked = drum == 2 && !at.isBefore(start.plus(KNOCK)) && at.isBefore(knockFoundAt());
    double shift = knocked ? 0.14 : 0;
    BigDecimal shown = GREEN_TYRE.show(random, drum == 1 ? shift + 0.05 : shift);
    String key =
        add(
            new Draft(station, "GT-36-MASS", shown, "kg", at)
                .counter(++others)
                .item(number)
                .operator("op-" + (50 + drum)));
    boolean outside =
        shown.compareTo(new BigDecimal("27.05")) < 0
            || shown.compareTo(new BigDecimal("27.75")) > 0;
    Instant again = at;
    while (drum == 1 && outside && random.nextInt(5) > 0) {
      again = again.plusSeconds(18);
      shown = GREEN_TYRE.show(random, 0);
      outside =
          shown.compareTo(new BigDecimal("27.05")) < 0
              || shown.compareTo(new BigDecimal("27.75")) > 0;
      add(
          new Draft(station, "GT-36-MASS", shown, "kg", again)
              .counter(++others)
              .item(number)
              .operator("op-51")
              .remeasures(key));
    }
  }

  /** The morning check that finds the knocked scale. */
  Instant knockFoundAt() {
    return start.plus(Duration.ofDays(12)).plus(Duration.ofMinutes(15));
  }

  private void tyre(Instant at) {
    add(
        new Draft("FI-S1", "FT-36-MASS", TYRE.show(random, 0), "kg", at)
            .counter(++others)
            .with("FT-36-RUNOUT", RUNOUT.showAmplitude(random), "mm"));
  }

  private void peel(Instant at) {
    add(new Draft("LB-T1", "FT-36-PEEL", PEEL.show(random, 0), "N/mm", at).counter(++others));
  }

  private String add(Draft draft) {
    Posting posting = draft.posting();
    hour.add(posting);
    return posting.key();
  }

  /** A posting in the making. */
  private static final class Draft {
    private final String station;
    private final String characteristic;
    private final BigDecimal value;
    private final String unit;
    private final Instant at;
    private final List<Posting.Value> together = new ArrayList<>();
    private @Nullable Long counter;
    private @Nullable String die;
    private @Nullable String lot;
    private @Nullable String operator;
    private @Nullable String item;
    private @Nullable String truck;
    private @Nullable String leaf;
    private @Nullable String remeasures;
    private Phase phase = Phase.RUNNING;
    private Set<Flag> flags = Set.of(Flag.STABLE);

    Draft(String station, String characteristic, BigDecimal value, String unit, Instant at) {
      this.station = station;
      this.characteristic = characteristic;
      this.value = value;
      this.unit = unit;
      this.at = at;
    }

    Draft counter(long number) {
      counter = number;
      return this;
    }

    Draft die(String name) {
      die = name;
      return this;
    }

    Draft lot(String name) {
      lot = name;
      return this;
    }

    Draft operator(String sign) {
      operator = sign;
      return this;
    }

    Draft item(String number) {
      item = number;
      return this;
    }

    Draft place(String onTruck, String onLeaf) {
      truck = onTruck;
      leaf = onLeaf;
      return this;
    }

    Draft remeasures(String key) {
      remeasures = key;
      return this;
    }

    Draft phase(Phase now) {
      phase = now;
      return this;
    }

    Draft flag(Flag flag) {
      flags = Set.of(flag);
      return this;
    }

    Draft with(String other, BigDecimal shown, String shownUnit) {
      together.add(new Posting.Value(other, shown, null, shownUnit, null, null, null, null));
      return this;
    }

    Posting posting() {
      return new Posting(
          station + ":" + counter,
          station,
          characteristic,
          value,
          null,
          unit,
          at,
          null,
          null,
          null,
          flags,
          phase,
          die,
          lot,
          null,
          operator,
          counter,
          item,
          truck,
          leaf,
          remeasures,
          together.isEmpty() ? null : together);
    }
  }
}
