package org.tarebook.thermal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

/** What must hold of any conduction, and what the solver refuses. */
class ConductionPropertyTests {

  private static final Arrhenius LAW = new Arrhenius(90_000, 150);

  private static Layer rubber(String name, double thickness, double diffusivity, CureLaw law) {
    return new Layer(name, thickness, diffusivity, 0.25, law);
  }

  private static Span span(double from, double to, int last, Trace inside, Trace outside) {
    return new Span(from, to, 0, last, inside, Film.PERFECT, outside, Film.PERFECT);
  }

  private static HeatHistory slab(
      double thickness,
      double diffusivity,
      CureLaw law,
      double initial,
      Trace inside,
      Trace outside,
      double... marks) {
    return Conduction.solve(
        new Section(List.of(rubber("slab", thickness, diffusivity, law))),
        List.of(span(0, marks[marks.length - 1], 0, inside, outside)),
        new double[] {initial},
        marks);
  }

  @Test
  void steadyHeatFlowThroughLayersAndFilmsIsExact() {
    Film inside = new Film(800);
    Film outside = new Film(1500);
    List<Layer> layers =
        List.of(
            new Layer("bladder", 0.004, 1e-7, 0.2, null),
            new Layer("ply", 0.008, 1.1e-7, 0.28, LAW),
            new Layer("mould", 0.03, 1.2e-5, 45, null));
    double end = 40_000;
    HeatHistory history =
        Conduction.solve(
            new Section(layers),
            List.of(
                new Span(0, end, 0, 2, Trace.constant(170), inside, Trace.constant(150), outside)),
            new double[] {25, 25, 25},
            new double[] {end});
    double resistance = 1 / 800.0 + 0.004 / 0.2 + 0.008 / 0.28 + 0.03 / 45 + 1 / 1500.0;
    double flow = 20 / resistance;
    double atPly = 170 - flow * (1 / 800.0 + 0.004 / 0.2);
    assertThat(history.celsiusAt(0.004, 0)).isCloseTo(atPly, within(1e-6));
    assertThat(history.celsiusAt(0.008, 0)).isCloseTo(atPly - flow * 0.004 / 0.28, within(1e-6));
  }

  /**
   * Two half spaces in contact: the interface is at the mean by effusivities, at once and for long.
   */
  @Test
  void twoLayersInContactAgreeWithTheExactInterface() {
    double first = 1e-7;
    double second = 1.4e-7;
    Layer cold = new Layer("cold", 0.05, first, 0.2, LAW);
    Layer hot = new Layer("hot", 0.05, second, 0.35, LAW);
    HeatHistory history =
        Conduction.solve(
            new Section(List.of(cold, hot)),
            List.of(span(0, 600, 1, Trace.constant(30), Trace.constant(150))),
            new double[] {30, 150},
            new double[] {60, 300, 600});
    double one = 0.2 / Math.sqrt(first);
    double other = 0.35 / Math.sqrt(second);
    double face = (one * 30 + other * 150) / (one + other);
    for (int mark = 0; mark < 3; mark++) {
      assertThat(history.celsiusAt(0.05, mark)).isCloseTo(face, within(0.1));
      double seconds = new double[] {60, 300, 600}[mark];
      double deep = 30 + (face - 30) * Slab.earlyTime(first, 0.01, seconds);
      assertThat(history.celsiusAt(0.04, mark)).isCloseTo(deep, within(0.15));
    }
  }

  @Test
  void turningTheSectionRoundTurnsTheResultRound() {
    List<Layer> layers =
        List.of(
            rubber("a", 0.006, 1e-7, LAW), rubber("b", 0.01, 1.3e-7, new Arrhenius(80_000, 150)));
    Trace hot = Trace.constant(172);
    Trace cooler = Trace.constant(151);
    HeatHistory forth =
        Conduction.solve(
            new Section(layers),
            List.of(span(0, 1200, 1, hot, cooler)),
            new double[] {20, 35},
            new double[] {1200});
    HeatHistory back =
        Conduction.solve(
            new Section(List.of(layers.get(1), layers.get(0))),
            List.of(span(0, 1200, 1, cooler, hot)),
            new double[] {35, 20},
            new double[] {1200});
    for (double at = 0.0005; at < 0.016; at += 0.001) {
      assertThat(back.celsiusAt(0.016 - at, 0)).isCloseTo(forth.celsiusAt(at, 0), within(1e-4));
    }
    assertThat(back.slowest(0).minutes()).isCloseTo(forth.slowest(0).minutes(), within(1e-6));
    assertThat(back.slowest(0).layer()).isEqualTo(forth.slowest(0).layer());
  }

  @Test
  void jumpsDoNotRing() {
    Random random = new Random(5);
    for (int i = 0; i < 30; i++) {
      double[] seconds = new double[12];
      double[] celsius = new double[12];
      for (int j = 0; j < 12; j++) {
        seconds[j] = 100 * j;
        celsius[j] = 30 + 140 * random.nextDouble();
      }
      Trace jumping = new Trace(seconds, celsius, Between.HOLD);
      double low = Math.min(25, Arrays.stream(celsius).min().orElseThrow());
      double high = Arrays.stream(celsius).max().orElseThrow();
      double[] marks = {101, 203, 305, 407, 509, 611, 713, 815, 917, 1019, 1121};
      HeatHistory history = slab(0.012, 1.2e-7, LAW, 25, jumping, jumping, marks);
      for (int mark = 0; mark < marks.length; mark++) {
        for (double at = 0; at <= 0.012; at += 0.0003) {
          assertThat(history.celsiusAt(at, mark)).isBetween(low - 0.5, high + 0.5);
        }
      }
    }
  }

  @Test
  void splittingASpanChangesNothingThatMatters() {
    Trace inside =
        new Trace(new double[] {0, 60, 600}, new double[] {25, 165, 170}, Between.LINEAR);
    Trace outside = Trace.constant(150);
    Section section = new Section(List.of(rubber("slab", 0.02, 1.1e-7, LAW)));
    HeatHistory whole =
        Conduction.solve(
            section,
            List.of(span(0, 1500, 0, inside, outside)),
            new double[] {25},
            new double[] {1500});
    HeatHistory split =
        Conduction.solve(
            section,
            List.of(span(0, 700, 0, inside, outside), span(700, 1500, 0, inside, outside)),
            new double[] {25},
            new double[] {1500});
    assertThat(split.slowest(0).minutes())
        .isCloseTo(whole.slowest(0).minutes(), within(1e-4 * whole.slowest(0).minutes()));
  }

  @Test
  void energyIsKept() {
    // Insulated as well as films allow: what is inside stays inside, only its spread changes.
    Film insulating = new Film(1e-9);
    Layer hot = new Layer("hot", 0.01, 1e-7, 0.2, LAW);
    Layer cold = new Layer("cold", 0.02, 1.4e-7, 0.35, LAW);
    double end = 200_000;
    HeatHistory history =
        Conduction.solve(
            new Section(List.of(hot, cold)),
            List.of(
                new Span(
                    0, end, 0, 1, Trace.constant(0), insulating, Trace.constant(0), insulating)),
            new double[] {160, 40},
            new double[] {end});
    double first = 0.2 / 1e-7 * 0.01;
    double second = 0.35 / 1.4e-7 * 0.02;
    double mean = (first * 160 + second * 40) / (first + second);
    assertThat(history.celsiusAt(0.002, 0)).isCloseTo(mean, within(1e-3));
    assertThat(history.celsiusAt(0.025, 0)).isCloseTo(mean, within(1e-3));
  }

  /** Halving the cells' width quarters the error of the equivalents, as second order must. */
  @Test
  void refiningTheGridConvergesInSecondOrder() {
    Section section = new Section(List.of(rubber("slab", 0.02, 1.1e-7, LAW)));
    List<Span> spans = List.of(span(0, 1200, 0, Trace.constant(170), Trace.constant(150)));
    double wanted = 7.7319868532; // trade/slab_cure_and_slowest_point.json, HC01
    double[] errors = new double[4];
    for (int i = 0; i < 4; i++) {
      HeatHistory history =
          Conduction.solve(section, spans, new double[] {25}, new double[] {1200}, 10 << i, 0.25);
      errors[i] = Math.abs(history.minutesAt(0.01, 0, Rule.LOG_MEAN) / wanted - 1);
    }
    for (int i = 1; i < 4; i++) {
      assertThat(errors[i - 1] / errors[i]).as(Arrays.toString(errors)).isBetween(3.0, 5.5);
    }
  }

  @Test
  void logMeanNeverExceedsTrapezoid() {
    HeatHistory history =
        slab(0.02, 1.1e-7, LAW, 25, Trace.constant(170), Trace.constant(150), 600, 1200);
    for (double at = 0; at <= 0.02; at += 0.001) {
      for (int mark = 0; mark < 2; mark++) {
        assertThat(history.minutesAt(at, mark, Rule.LOG_MEAN))
            .isLessThanOrEqualTo(history.minutesAt(at, mark, Rule.TRAPEZOID) * (1 + 1e-12));
      }
    }
  }

  @Test
  void refusesWhatCannotBe() {
    assertThatThrownBy(() -> new Layer("a", 0, 1e-7, 0.2, LAW))
        .hasMessageContaining("thickness of a");
    assertThatThrownBy(() -> new Layer("a", 0.01, 0, 0.2, LAW)).hasMessageContaining("diffusivity");
    assertThatThrownBy(() -> new Layer("a", 0.01, 1e-7, -1, LAW))
        .hasMessageContaining("conductivity");
    assertThatThrownBy(() -> new Film(0)).hasMessageContaining("film coefficient");
    assertThatThrownBy(() -> new Section(List.of())).hasMessageContaining("at least one layer");
    Trace hot = Trace.constant(150);
    assertThatThrownBy(() -> span(5, 5, 0, hot, hot)).hasMessageContaining("no time span");
    Section metal = new Section(List.of(new Layer("mould", 0.01, 1e-5, 45, null)));
    assertThatThrownBy(
            () ->
                Conduction.solve(
                    metal, List.of(span(0, 10, 0, hot, hot)), new double[] {20}, new double[] {10}))
        .hasMessageContaining("no layer of the section cures");
    Section section = new Section(List.of(rubber("slab", 0.02, 1e-7, LAW)));
    assertThatThrownBy(
            () ->
                Conduction.solve(
                    section,
                    List.of(span(0, 10, 0, hot, hot), span(11, 20, 0, hot, hot)),
                    new double[] {20},
                    new double[] {20}))
        .hasMessageContaining("must begin where the one before ends");
    assertThatThrownBy(
            () ->
                Conduction.solve(
                    section,
                    List.of(span(0, 10, 0, hot, hot)),
                    new double[] {20},
                    new double[] {11}))
        .hasMessageContaining("mark");
    assertThatThrownBy(
            () ->
                Conduction.solve(
                    section,
                    List.of(span(0, 10, 0, hot, hot)),
                    new double[] {-400},
                    new double[] {10}))
        .hasMessageContaining("initial temperature");
  }
}
