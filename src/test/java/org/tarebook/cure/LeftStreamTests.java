package org.tarebook.cure;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.net.Socket;
import java.net.URI;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.extension.ExtendWith;
import org.springframework.boot.test.system.CapturedOutput;
import org.springframework.boot.test.system.OutputCaptureExtension;
import org.tarebook.fixtures.RunningTarebook;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/** Whoever listens to a load and leaves makes room for another, and fills no log. */
@ExtendWith(OutputCaptureExtension.class)
class LeftStreamTests {

  private static final int MOST_OF_ONE = 20;

  @Test
  @Timeout(180)
  void aListenerThatLeavesLeavesNoTrace(CapturedOutput output) throws Exception {
    try (RunningTarebook tarebook = RunningTarebook.start(TestDatabase.create(Vendor.H2))) {
      CureFloor floor = new CureFloor(tarebook);
      String id = floor.start(floor.cure());
      String token = tarebook.quality().token();
      List<Socket> left = new ArrayList<>();
      for (int i = 0; i < MOST_OF_ONE; i++) {
        Socket socket = listen(tarebook, token, id);
        assertThat(head(socket)).contains(" 200 ");
        left.add(socket);
      }
      try (Socket refused = listen(tarebook, token, id)) {
        assertThat(head(refused)).doesNotContain(" 200 ");
      }
      for (Socket socket : left) {
        socket.setSoLinger(true, 0);
        socket.close();
      }
      boolean room = false;
      while (!room) {
        Thread.sleep(200);
        try (Socket another = listen(tarebook, token, id)) {
          room = head(another).contains(" 200 ");
        }
      }
      assertThat(output.getAll()).doesNotContain("threw exception", "Exception Processing");
    }
  }

  private static Socket listen(RunningTarebook tarebook, String token, String id)
      throws IOException {
    URI base = URI.create(tarebook.base());
    Socket socket = new Socket(base.getHost(), base.getPort());
    socket.setSoTimeout(30_000);
    String head =
        "GET /api/v1/cures/"
            + id
            + "/live HTTP/1.1\r\nHost: localhost\r\nAccept: text/event-stream\r\n"
            + "Authorization: Bearer "
            + token
            + "\r\n\r\n";
    socket.getOutputStream().write(head.getBytes(StandardCharsets.US_ASCII));
    return socket;
  }

  private static String head(Socket socket) throws IOException {
    byte[] some = new byte[4_000];
    int length = socket.getInputStream().read(some);
    return new String(some, 0, Math.max(0, length), StandardCharsets.UTF_8);
  }
}
