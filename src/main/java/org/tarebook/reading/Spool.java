package org.tarebook.reading;

import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.concurrent.atomic.AtomicLong;

/**
 * Outcomes that wait in a file until the client has sent everything. The operating system deletes
 * the file with the process that holds it open, even a killed one. What waits in all files together
 * is counted.
 */
final class Spool implements AutoCloseable {

  private final AtomicLong waiting;
  private final FileChannel file;
  private final OutputStream out;
  private long size;

  /**
   * Opens a file.
   *
   * @param folder where it lies
   * @param waiting the bytes that wait in all files together
   */
  Spool(Path folder, AtomicLong waiting) throws IOException {
    this.waiting = waiting;
    Path path = Files.createTempFile(folder, "tarebook-outcomes", ".ndjson");
    file =
        FileChannel.open(
            path,
            StandardOpenOption.READ,
            StandardOpenOption.WRITE,
            StandardOpenOption.DELETE_ON_CLOSE);
    out = new BufferedOutputStream(Channels.newOutputStream(file), 65_536);
  }

  void writeLine(byte[] line) throws IOException {
    size += line.length + 1L;
    waiting.addAndGet(line.length + 1L);
    out.write(line);
    out.write('\n');
  }

  void sendTo(OutputStream client) throws IOException {
    out.flush();
    file.position(0);
    Channels.newInputStream(file).transferTo(client);
  }

  @Override
  public void close() throws IOException {
    waiting.addAndGet(-size);
    file.close();
  }
}
