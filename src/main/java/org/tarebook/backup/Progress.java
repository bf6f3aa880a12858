package org.tarebook.backup;

import java.io.OutputStream;
import java.io.PrintStream;
import java.util.Locale;
import java.util.concurrent.TimeUnit;

/** Tells how far long work is, in a line every few seconds. */
final class Progress {

  private static final long PAUSE = TimeUnit.SECONDS.toNanos(3);

  /** How often the time is looked at, in rows. */
  private static final int STEP = 1000;

  private final PrintStream out;
  private final String verb;
  private final String total;
  private long rows;
  private long last = System.nanoTime();

  private Progress(PrintStream out, String verb, String total) {
    this.out = out;
    this.verb = verb;
    this.total = total;
  }

  /** Of writing; how many rows there are is not known before. */
  static Progress ofWriting(PrintStream out) {
    return new Progress(out, "written", "");
  }

  /** Of restoring so many rows. */
  static Progress ofRestoring(PrintStream out, long rows) {
    return new Progress(out, "restored", String.format(Locale.ROOT, " of %,d", rows));
  }

  /** Tells nobody. */
  static Progress silent() {
    return new Progress(new PrintStream(OutputStream.nullOutputStream(), false), "", "");
  }

  /** One row more. */
  void row(String table) {
    if (++rows % STEP == 0 && System.nanoTime() - last > PAUSE) {
      last = System.nanoTime();
      out.printf(Locale.ROOT, "%,d%s rows %s, now those of %s%n", rows, total, verb, table);
    }
  }
}
