package org.tarebook.cure;

import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.PrintStream;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.stereotype.Component;
import org.tarebook.http.CsvForm;
import org.tarebook.plant.Presses;
import org.tarebook.storage.Command;
import org.tarebook.storage.NewFile;
import org.tarebook.storage.Transactions;

/**
 * {@code cure-logs FILE}: unpacks the logs of all cures, one line for each sample and each mark of
 * a step, piece by piece. Nothing is put in order, merged or set aside.
 */
@Component
class LogsToFile implements Command {

  private static final List<String> COLUMNS =
      List.of("cure", "press", "piece", "recordedAt", "at", "channel", "value", "unit", "step");

  private static final int TOLD_EVERY = 1000;

  private final JdbcClient jdbc;
  private final CureStore cures;
  private final PieceStore pieces;
  private final Presses presses;
  private final Transactions transactions;

  LogsToFile(
      JdbcClient jdbc,
      CureStore cures,
      PieceStore pieces,
      Presses presses,
      Transactions transactions) {
    this.jdbc = jdbc;
    this.cures = cures;
    this.pieces = pieces;
    this.presses = presses;
    this.transactions = transactions;
  }

  @Override
  public String name() {
    return "cure-logs";
  }

  @Override
  public String usage() {
    return "FILE: unpacks the logs of all cures into a new CSV file, a line for each sample";
  }

  @Override
  public void run(List<String> arguments, PrintStream progress) throws IOException {
    long lines =
        NewFile.write(
            NewFile.of(arguments, this), out -> transactions.snapshot(() -> write(out, progress)));
    progress.printf(Locale.ROOT, "Unpacked %,d lines%n", lines);
  }

  private long write(OutputStream to, PrintStream progress) {
    try {
      Lines lines =
          new Lines(new BufferedWriter(new OutputStreamWriter(to, StandardCharsets.UTF_8)));
      lines.write(COLUMNS);
      List<Long> ids = jdbc.sql("select id from cure order by id").query(Long.class).list();
      for (int i = 0; i < ids.size(); i++) {
        Cure cure = cures.require(ids.get(i));
        for (PieceStore.Stored piece : pieces.read(cure.id())) {
          lines.write(cure, presses.byId(cure.pressId()).code(), piece);
        }
        if ((i + 1) % TOLD_EVERY == 0) {
          progress.printf(Locale.ROOT, "%,d of %,d cures%n", i + 1, ids.size());
        }
      }
      lines.out.flush();
      return lines.written - 1;
    } catch (IOException failure) {
      throw new UncheckedIOException(failure);
    }
  }

  private static final class Lines {
    private final Writer out;
    private long written;

    Lines(Writer out) {
      this.out = out;
    }

    void write(List<String> fields) throws IOException {
      out.write(CsvForm.line(fields) + "\r\n");
      written++;
    }

    void write(Cure cure, String press, PieceStore.Stored piece) throws IOException {
      Map<String, String> units = new HashMap<>();
      cure.channels().forEach(channel -> units.put(channel.code(), channel.unit()));
      String[] line = new String[COLUMNS.size()];
      line[0] = String.valueOf(cure.id());
      line[1] = press;
      line[2] = piece.key();
      line[3] = piece.recordedAt().toString();
      for (Map.Entry<String, PieceContent.Samples> channel :
          piece.content().channels().entrySet()) {
        PieceContent.Samples samples = channel.getValue();
        line[5] = channel.getKey();
        line[7] = units.getOrDefault(channel.getKey(), "");
        line[8] = "";
        for (int i = 0; i < samples.count(); i++) {
          line[4] = PieceContent.instant(samples.micros()[i]).toString();
          line[6] = BigDecimal.valueOf(samples.numbers()[i], samples.scale()).toPlainString();
          write(Arrays.asList(line));
        }
      }
      Arrays.fill(line, 5, 8, "");
      for (PieceContent.Mark mark : piece.content().marks()) {
        line[4] = PieceContent.instant(mark.micros()).toString();
        line[8] = mark.step();
        write(Arrays.asList(line));
      }
    }
  }
}
