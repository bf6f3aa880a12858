package org.tarebook.segment;

import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.tarebook.quantity.Unit;
import org.tarebook.reading.ReadingWindow.Row;

/**
 * The readings of a shift as bytes. What many have in common is written once, and the rest as steps
 * from the reading before, so that a reading takes some ten bytes.
 */
final class PackedReadings {

  /** The way of packing; readings packed another way are read from the record. */
  private static final int FORM = 2;

  /** The way before samples had names; it can be read still. */
  private static final int WITHOUT_SAMPLES = 1;

  private static final int MOST_DECIMALS = 9;

  private PackedReadings() {}

  /**
   * What readings have in common.
   *
   * @param counted whether they have a counter
   * @param step their values are whole multiples of so many billionths
   */
  private record Origin(
      long station,
      @Nullable Long instrument,
      @Nullable String die,
      @Nullable String lot,
      @Nullable String operator,
      int decimals,
      Unit unit,
      boolean counted,
      long step) {

    static Origin of(Row row) {
      long step = 1;
      for (int i = row.decimals(); i < MOST_DECIMALS; i++) {
        step *= 10;
      }
      return new Origin(
          row.stationId(),
          row.instrumentId(),
          row.die(),
          row.lot(),
          row.operator(),
          row.decimals(),
          row.unit(),
          row.counter() != null,
          row.nanos() % step == 0 ? step : 1);
    }

    void write(DataOutputStream out) throws IOException {
      Bytes.whole(out, station);
      Bytes.whole(out, instrument == null ? 0 : instrument);
      Bytes.text(out, die);
      Bytes.text(out, lot);
      Bytes.text(out, operator);
      Bytes.whole(out, decimals);
      out.writeUTF(unit.code());
      out.writeBoolean(counted);
      Bytes.whole(out, step);
    }

    static Origin read(DataInputStream in) throws IOException {
      long station = Bytes.whole(in);
      long instrument = Bytes.whole(in);
      return new Origin(
          station,
          instrument == 0 ? null : (Long) instrument,
          Bytes.text(in),
          Bytes.text(in),
          Bytes.text(in),
          (int) Bytes.whole(in),
          Unit.of(in.readUTF()),
          in.readBoolean(),
          Bytes.whole(in));
    }
  }

  /** Figures of the reading before, and the last counter of each origin. */
  private static final class Last {
    private final long[] counters;
    private long micros;
    private long id;
    private long steps;

    Last(int origins) {
      this.counters = new long[origins];
    }
  }

  /** Packs readings; those in order of their time take least. */
  static byte[] pack(List<Row> readings) {
    Map<Origin, Integer> origins = new LinkedHashMap<>();
    int[] places = new int[readings.size()];
    for (int i = 0; i < places.length; i++) {
      places[i] = origins.computeIfAbsent(Origin.of(readings.get(i)), seen -> origins.size());
    }
    Map<String, Integer> samples = new LinkedHashMap<>();
    for (Row row : readings) {
      if (row.sample() != null) {
        samples.computeIfAbsent(row.sample(), seen -> samples.size() + 1);
      }
    }
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    try (DataOutputStream out = new DataOutputStream(bytes)) {
      out.writeByte(FORM);
      Bytes.whole(out, samples.size());
      for (String sample : samples.keySet()) {
        Bytes.text(out, sample);
      }
      Bytes.whole(out, origins.size());
      for (Origin origin : origins.keySet()) {
        origin.write(out);
      }
      Bytes.whole(out, places.length);
      List<Origin> ordered = List.copyOf(origins.keySet());
      Last last = new Last(ordered.size());
      for (int i = 0; i < places.length; i++) {
        Bytes.whole(out, places[i]);
        if (!samples.isEmpty()) {
          String sample = readings.get(i).sample();
          Bytes.whole(out, sample == null ? 0 : samples.getOrDefault(sample, 0));
        }
        write(out, readings.get(i), ordered.get(places[i]), places[i], last);
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    return bytes.toByteArray();
  }

  private static void write(DataOutputStream out, Row row, Origin origin, int place, Last last)
      throws IOException {
    long micros = Bytes.micros(row.measuredAt());
    long steps = row.nanos() / origin.step();
    Bytes.whole(out, micros - last.micros);
    Bytes.signed(out, row.id() - last.id);
    Bytes.signed(out, steps - last.steps);
    last.micros = micros;
    last.id = row.id();
    last.steps = steps;
    Long counter = row.counter();
    if (counter != null) {
      Bytes.signed(out, counter - last.counters[place]);
      last.counters[place] = counter;
    }
  }

  /** Whether bytes were packed this way. */
  static boolean readable(byte[] bytes) {
    return bytes.length > 0 && (bytes[0] == FORM || bytes[0] == WITHOUT_SAMPLES);
  }

  static List<Row> unpack(byte[] bytes) {
    try (DataInputStream in = Bytes.read(bytes, 1)) {
      List<@Nullable String> samples = new ArrayList<>();
      samples.add(null);
      for (long left = bytes[0] == FORM ? Bytes.whole(in) : 0; left > 0; left--) {
        samples.add(Bytes.text(in));
      }
      List<Origin> origins = new ArrayList<>();
      for (long left = Bytes.whole(in); left > 0; left--) {
        origins.add(Origin.read(in));
      }
      int count = (int) Bytes.whole(in);
      List<Row> readings = new ArrayList<>(count);
      Last last = new Last(origins.size());
      for (int i = 0; i < count; i++) {
        int place = (int) Bytes.whole(in);
        String sample = samples.size() == 1 ? null : samples.get((int) Bytes.whole(in));
        readings.add(row(in, origins.get(place), place, sample, last));
      }
      return readings;
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static Row row(
      DataInputStream in, Origin origin, int place, @Nullable String sample, Last last)
      throws IOException {
    last.micros += Bytes.whole(in);
    last.id += Bytes.signed(in);
    last.steps += Bytes.signed(in);
    if (origin.counted()) {
      last.counters[place] += Bytes.signed(in);
    }
    return new Row(
        last.id,
        Bytes.moment(last.micros),
        origin.counted() ? (Long) last.counters[place] : null,
        origin.station(),
        origin.instrument(),
        origin.die(),
        origin.lot(),
        sample,
        origin.operator(),
        last.steps * origin.step(),
        origin.decimals(),
        origin.unit());
  }
}
