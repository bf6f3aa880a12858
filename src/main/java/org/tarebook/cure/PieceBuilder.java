package org.tarebook.cure;

import java.math.BigDecimal;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import org.tarebook.cure.PieceContent.Mark;
import org.tarebook.cure.PieceContent.Samples;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/** Collects the samples and marks of one piece, and every fault in it. */
final class PieceBuilder {

  private static final int MOST_FAULTS = 200;
  private static final int MOST_SAMPLES = 1_000_000;

  private final Set<String> channels;
  private final Set<String> steps;
  private final SortedMap<String, Column> columns = new TreeMap<>();
  private final List<Mark> marks = new ArrayList<>();
  private final List<Problem.Fault> faults = new ArrayList<>();
  private int faultCount;
  private int samples;

  /**
   * A piece of a cure.
   *
   * @param channels codes it may name
   * @param steps names of steps it may name; empty where the cure has no schedule to name them
   */
  PieceBuilder(Set<String> channels, Set<String> steps) {
    this.channels = channels;
    this.steps = steps;
  }

  void sample(String channel, Instant at, BigDecimal number, int line, String pointer) {
    if (!channels.contains(channel)) {
      fault(
          line,
          pointer,
          "is no channel of this cure; its channels are " + String.join(", ", channels));
      return;
    }
    if (++samples > MOST_SAMPLES) {
      throw new Problem(
          ProblemType.TOO_LARGE,
          "A piece holds at most " + MOST_SAMPLES + " samples; send it in several.");
    }
    columns.computeIfAbsent(channel, code -> new Column()).add(PieceContent.micros(at), number);
  }

  void mark(String step, Instant at, int line, String pointer) {
    if (!steps.isEmpty() && !steps.contains(step)) {
      fault(
          line,
          pointer,
          "'" + step + "' is no step of the schedule; its steps are " + String.join(", ", steps));
      return;
    }
    marks.add(new Mark(step, PieceContent.micros(at)));
  }

  void fault(int line, String pointer, String detail) {
    faultCount++;
    if (faults.size() < MOST_FAULTS) {
      faults.add(new Problem.Fault(line == 0 ? null : line, pointer, detail));
    }
  }

  /** The piece, if there is no fault in it. */
  PieceContent content() {
    if (faultCount > 0) {
      throw new Problem(
          ProblemType.INVALID_REQUEST,
          faultCount + (faultCount == 1 ? " fault" : " faults") + "; nothing was stored.",
          faults);
    }
    if (samples == 0 && marks.isEmpty()) {
      throw new Problem(
          ProblemType.INVALID_REQUEST,
          "The piece holds no sample and no step; nothing was stored.");
    }
    SortedMap<String, Samples> done = new TreeMap<>();
    columns.forEach((code, column) -> done.put(code, column.samples()));
    return new PieceContent(done, List.copyOf(marks));
  }

  private static final class Column {
    private long[] micros = new long[64];
    private BigDecimal[] numbers = new BigDecimal[64];
    private int count;
    private int scale;

    void add(long at, BigDecimal number) {
      if (count == micros.length) {
        micros = Arrays.copyOf(micros, count * 2);
        numbers = Arrays.copyOf(numbers, count * 2);
      }
      BigDecimal stripped = number.stripTrailingZeros();
      micros[count] = at;
      numbers[count] = stripped;
      scale = Math.max(scale, stripped.scale());
      count++;
    }

    Samples samples() {
      long[] scaled = new long[count];
      for (int i = 0; i < count; i++) {
        scaled[i] = numbers[i].setScale(scale).unscaledValue().longValueExact();
      }
      return new Samples(Arrays.copyOf(micros, count), scaled, scale);
    }
  }
}
