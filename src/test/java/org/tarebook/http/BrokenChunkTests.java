package org.tarebook.http;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.extension.ExtendWith;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/** A body that breaks on its way is the sender's fault, and fills no log. */
@ExtendWith(OutputCaptureExtension.class)
class BrokenChunkTests {

  @Test
  void isToldSoWithoutATrace(CapturedOutput output) throws IOException {
    try (RunningTarebook tarebook = RunningTarebook.start(TestDatabase.create(Vendor.H2))) {
      for (String media : new String[] {"application/x-ndjson", "text/csv", "application/json"}) {
        for (String before : new String[] {"", "9\r\n{\"a\": 1}\n\r\n", "2\r\n{}"}) {
          String answer = send(tarebook, media, before + "zz\r\nxx\r\n");
          assertThat(answer).as(media + before).contains(" 400 ");
        }
      }
      assertThat(output.getAll()).doesNotContain("Fault ", "BadRequestException");
    }
  }

  private static String send(RunningTarebook tarebook, String media, String chunks)
      throws IOException {
    URI base = URI.create(tarebook.base());
    try (Socket socket = new Socket(base.getHost(), base.getPort())) {
      socket.setSoTimeout(30_000);
      String head =
          "POST /api/v1/readings"
              + (media.equals("application/json") ? "" : "/bulk")
              + " HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer "
              + tarebook.quality().token()
              + "\r\nContent-Type: "
              + media
              + "\r\nTransfer-Encoding: chunked\r\n\r\n";
      socket.getOutputStream().write((head + chunks).getBytes(StandardCharsets.US_ASCII));
      byte[] some = new byte[4_000];
      int length = socket.getInputStream().read(some);
      return new String(some, 0, Math.max(0, length), StandardCharsets.UTF_8);
    }
  }
}
