package org.tarebook.cure;

import java.math.BigDecimal;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import java.util.stream.IntStream;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;
import org.tarebook.compound.Kinetics;
import org.tarebook.cure.PieceContent.Mark;
import org.tarebook.cure.PieceContent.Samples;
import org.tarebook.cure.PieceStore.Stored;
import org.tarebook.cure.Verdict.CavityVerdict;
import org.tarebook.plant.Quantity;
import org.tarebook.schedule.CircuitEnd;
import org.tarebook.schedule.GreenTyre;
import org.tarebook.schedule.HeatModel;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.PressureKind;
import org.tarebook.schedule.ScheduleDefinition;
import org.tarebook.schedule.ScheduleDefinition.LayerKind;
import org.tarebook.schedule.ScheduleDefinition.Medium;
import org.tarebook.schedule.ScheduleDefinition.Place;
import org.tarebook.schedule.StepKind;
import org.tarebook.schedule.Until;
import org.tarebook.thermal.Arrhenius;
import org.tarebook.thermal.SensorClass;

/**
 * A load with a sample a second for one hour, in pieces of a minute. {@code decode} reads and orders
 * the samples; {@code verdict} does that and judges every cavity. The figure of interest is their
 * ratio, side by side in one run. What is wanted: five depths of one compound in 28 cavities; or,
 * in 16 cavities, a minimum and a maximum of three compounds whose kinetics state a range, or of
 * both media, with a gap of a minute in each temperature, so that each end of an interval has heat
 * solutions of its own.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 3, time = 4)
@Measurement(iterations = 5, time = 4)
@Fork(1)
public class FullLoadBenchmark {

  private static final Instant START = Instant.parse("2026-03-02T06:00:00Z");
  private static final List<String> RUBBER = List.of("carcass", "cushion", "tread");
  private static final int SECONDS = 3600;
  private static final int PIECE = 60;

  /** What is wanted. */
  public enum Wanted {
    DEPTHS,
    COMPOUNDS,
    MEDIA
  }

  @Param public Wanted wanted;

  private final List<byte[]> bodies = new ArrayList<>();
  private Cure cure;
  private ScheduleDefinition definition;
  private HeatModel model;

  @Setup
  public void load() {
    definition = definition();
    Kinetics kinetics =
        new Kinetics(
            1,
            "TREAD",
            1,
            new Arrhenius(90_000, 150),
            3000.0,
            Double.POSITIVE_INFINITY,
            0.12e-6,
            0.05,
            0.25,
            null,
            wanted == Wanted.DEPTHS ? null : new Kinetics.Range(90, 172),
            false,
            "invented");
    model = HeatModel.of(definition, (compound, revision, pointer) -> kinetics);
    cure = cure();
    Random random = new Random(17);
    int bytes = 0;
    for (int from = 0; from < SECONDS; from += PIECE) {
      byte[] body = PieceCodec.encode(piece(from, random));
      bodies.add(body);
      bytes += body.length;
    }
    System.out.printf(
        "# %d samples in %d bytes: %.3f bytes a sample%n",
        CureLog.of(cure, stored(), List.of(), 101.325).samples(),
        bytes,
        (double) bytes / (SECONDS * cure.channels().size()));
  }

  @Benchmark
  public CureLog decode() {
    return CureLog.of(cure, stored(), List.of(), 101.325);
  }

  @Benchmark
  public List<CavityVerdict> verdict() {
    CureLog log = CureLog.of(cure, stored(), List.of(), 101.325);
    return new Judge(
            cure,
            definition,
            log,
            Run.of(definition, log, SECONDS),
            0,
            model,
            List.of(),
            120,
            SECONDS)
        .cavities();
  }

  private List<Stored> stored() {
    List<Stored> stored = new ArrayList<>();
    for (byte[] body : bodies) {
      stored.add(
          new Stored("p" + stored.size(), null, START.plusSeconds(SECONDS), PieceCodec.decode(body)));
    }
    return stored;
  }

  private PieceContent piece(int from, Random random) {
    SortedMap<String, Samples> channels = new TreeMap<>();
    for (Channel channel : cure.channels()) {
      if (wanted != Wanted.DEPTHS && from == 1800 && channel.unit().equals("Cel")) {
        continue;
      }
      long[] micros = new long[PIECE];
      long[] numbers = new long[PIECE];
      for (int i = 0; i < PIECE; i++) {
        micros[i] = PieceContent.micros(START.plusSeconds(from + i));
        numbers[i] =
            Math.round(10 * value(channel.measured(), from + i) + random.nextGaussian());
      }
      channels.put(channel.code(), new Samples(micros, numbers, 1));
    }
    List<Mark> marks = new ArrayList<>();
    if (from == 0) {
      marks.add(new Mark("WATER", PieceContent.micros(START)));
    }
    if (from == 3480) {
      marks.add(new Mark("OPEN", PieceContent.micros(START.plusSeconds(from))));
    }
    return new PieceContent(channels, marks);
  }

  private static double value(Measured measured, int second) {
    double rise = 1 - Math.exp(-second / 30.0);
    return switch (measured) {
      case INTERNAL_TEMPERATURE -> 90 + 78 * rise;
      case INTERNAL_PRESSURE -> 20 * rise;
      case DOME_PRESSURE -> 3.75;
      default -> 150;
    };
  }

  private Cure cure() {
    List<CavityLoad> cavities = new ArrayList<>();
    List<Channel> channels = new ArrayList<>();
    List<Integer> all = IntStream.rangeClosed(1, wanted == Wanted.DEPTHS ? 28 : 16).boxed().toList();
    for (int cavity : all) {
      cavities.add(
          new CavityLoad(
              cavity,
              "M" + cavity,
              "B" + cavity,
              10,
              null,
              new Quantity(new BigDecimal(25), "Cel"),
              null));
      channels.add(
          channel("IT-" + cavity, Measured.INTERNAL_TEMPERATURE, "Cel", List.of(cavity)));
    }
    channels.add(channel("IP", Measured.INTERNAL_PRESSURE, "bar", all));
    channels.add(channel("DT", Measured.DOME_TEMPERATURE, "Cel", all));
    channels.add(channel("DP", Measured.DOME_PRESSURE, "bar", all));
    return new Cure(
        1, "k", "p", 1, 1, 1L, START, null, cavities, channels, START, null, 0);
  }

  private static Channel channel(
      String code, Measured measured, String unit, List<Integer> serves) {
    boolean pressure = unit.equals("bar");
    return new Channel(
        code,
        measured,
        measured.internal() ? CircuitEnd.RETURN : null,
        unit,
        pressure ? PressureKind.GAUGE : null,
        Channel.Recording.SAMPLED,
        null,
        pressure ? null : SensorClass.PT100_A,
        pressure ? new BigDecimal("0.05") : null,
        null,
        null,
        serves);
  }

  private ScheduleDefinition definition() {
    List<ScheduleDefinition.Wanted> places = new ArrayList<>();
    if (wanted == Wanted.DEPTHS) {
      for (String depth : List.of("0", "0.25", "0.5", "0.75", "1")) {
        places.add(place("depth " + depth, "tread", depth, null));
      }
    } else {
      RUBBER.forEach(layer -> places.add(place(layer, layer, "0.5", new BigDecimal("400"))));
    }
    return new ScheduleDefinition(
        List.of(
            step("WATER", StepKind.HOT_WATER, 3480),
            new ScheduleDefinition.Step(
                "OPEN",
                StepKind.OPENING,
                Duration.ofSeconds(60),
                Duration.ofSeconds(120),
                Duration.ofSeconds(240),
                List.of())),
        Duration.ofSeconds(10),
        null,
        null,
        wanted == Wanted.MEDIA ? null : section(),
        wanted == Wanted.MEDIA ? null : places,
        wanted == Wanted.MEDIA
            ? List.of(medium("water", Medium.INSIDE), medium("dome", Medium.OUTSIDE))
            : null,
        null,
        null,
        null,
        quantity("40", "K{difference}"),
        quantity("5", "K{difference}"),
        quantity("10", "K{difference}"),
        null,
        new GreenTyre(quantity("20", "Cel"), quantity("35", "Cel"), null));
  }

  private ScheduleDefinition.Section section() {
    List<ScheduleDefinition.Layer> layers = new ArrayList<>();
    layers.add(layer("bladder", LayerKind.BLADDER, "4", "0.10", "0.20"));
    if (wanted == Wanted.DEPTHS) {
      layers.add(layer("tread", LayerKind.RUBBER, "30", null, null));
    } else {
      RUBBER.forEach(name -> layers.add(layer(name, LayerKind.RUBBER, "10", null, null)));
    }
    layers.add(layer("mould", LayerKind.METAL, "25", "12", "45"));
    return new ScheduleDefinition.Section(layers, face("1000"), face("3000"), null);
  }

  private static ScheduleDefinition.Wanted place(
      String name, String layer, String depth, BigDecimal maximum) {
    return new ScheduleDefinition.Wanted(
        name,
        Place.IN_LAYER,
        layer,
        new BigDecimal(depth),
        Until.OPENING,
        new BigDecimal("5"),
        maximum);
  }

  private static ScheduleDefinition.WantedOfMedium medium(String name, Medium medium) {
    return new ScheduleDefinition.WantedOfMedium(
        name,
        medium,
        "TREAD",
        null,
        Until.OPENING,
        new BigDecimal("5"),
        new BigDecimal("400"),
        quantity("172", "Cel"));
  }

  private static ScheduleDefinition.Step step(String name, StepKind kind, int seconds) {
    return new ScheduleDefinition.Step(
        name,
        kind,
        Duration.ofSeconds(seconds - 10),
        Duration.ofSeconds(seconds),
        Duration.ofSeconds(seconds + 10),
        List.of(
            setPoint(Measured.INTERNAL_TEMPERATURE, "168", "4", "Cel"),
            setPoint(Measured.INTERNAL_PRESSURE, "20", "1", "bar"),
            setPoint(Measured.DOME_TEMPERATURE, "150", "3", "Cel"),
            setPoint(Measured.DOME_PRESSURE, "3.75", "0.6", "bar")));
  }

  private static ScheduleDefinition.SetPoint setPoint(
      Measured measured, String target, String around, String unit) {
    BigDecimal aim = new BigDecimal(target);
    return new ScheduleDefinition.SetPoint(
        measured,
        null,
        aim,
        aim.subtract(new BigDecimal(around)),
        aim.add(new BigDecimal(around)),
        unit,
        unit.equals("bar") ? PressureKind.GAUGE : null,
        Duration.ofMinutes(5),
        null,
        null);
  }

  private static ScheduleDefinition.Layer layer(
      String name, LayerKind kind, String thickness, String diffusivity, String conductivity) {
    return new ScheduleDefinition.Layer(
        name,
        kind,
        quantity(thickness, "mm"),
        kind == LayerKind.RUBBER ? "TREAD" : null,
        null,
        diffusivity == null ? null : quantity(diffusivity, "mm2/s"),
        conductivity == null ? null : quantity(conductivity, "W/(m.K)"),
        kind == LayerKind.METAL ? ScheduleDefinition.StartsAt.OUTSIDE : null);
  }

  private static ScheduleDefinition.Face face(String coefficient) {
    return new ScheduleDefinition.Face(
        quantity(coefficient, "W/(m2.K)"), null, null, quantity("172", "Cel"));
  }

  private static Quantity quantity(String value, String unit) {
    return new Quantity(new BigDecimal(value), unit);
  }
}
