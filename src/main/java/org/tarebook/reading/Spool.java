package org.tarebook.reading;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import org.tarebook.http.Problem;
import org.tarebook.http.ProblemType;

/** Outcomes that wait in a file until the client has sent everything. */
final class Spool implements AutoCloseable {

  /** The most a spool holds, in bytes: some seven million outcomes. */
  private static final long LARGEST = 1L << 30;

  private final Path file;
  private final OutputStream out;
  private long size;

  Spool() throws IOException {
    file = Files.createTempFile("tarebook-outcomes", ".ndjson");
    out = new BufferedOutputStream(Files.newOutputStream(file), 65_536);
  }

  void writeLine(byte[] line) throws IOException {
    size += line.length + 1L;
    if (size > LARGEST) {
      throw new Problem(
          ProblemType.TOO_LARGE,
          "The outcomes are longer than "
              + LARGEST
              + " bytes. All lines before are stored; post"
              + " the rest in parts, and any line again: its key keeps it single.");
    }
    out.write(line);
    out.write('\n');
  }

  void sendTo(OutputStream client) throws IOException {
    out.flush();
    Files.copy(file, client);
  }

  @Override
  public void close() throws IOException {
    out.close();
    Files.deleteIfExists(file);
  }
}
