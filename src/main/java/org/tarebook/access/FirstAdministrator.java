package org.tarebook.access;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.boot.context.event.ApplicationReadyEvent;
import org.springframework.context.event.EventListener;
import org.springframework.core.Ordered;
import org.springframework.core.annotation.Order;
import org.springframework.core.env.Environment;
import org.springframework.stereotype.Component;
import org.tarebook.storage.PrivateFiles;
import org.tarebook.storage.StartRefused;

/**
 * Opens a plant that has no administrator: writes a token for the first 24 hours, with which the
 * real ones are made, into a file that only its owner can read. Standard output, which often ends
 * in a log, gets the name of the file and never the token.
 */
@Component
@ConditionalOnWebApplication
class FirstAdministrator {

  private static final String EDGE = "=".repeat(78);

  private final Tokens tokens;
  private final Environment environment;
  private final Path file;

  FirstAdministrator(
      Tokens tokens, Environment environment, @Value("${tarebook.first-token-file}") String file) {
    this.tokens = tokens;
    this.environment = environment;
    this.file = Path.of(file).toAbsolutePath().normalize();
  }

  /** Runs after whatever else makes tokens at the start. */
  @EventListener(ApplicationReadyEvent.class)
  @Order(Ordered.LOWEST_PRECEDENCE)
  void open() {
    tokens.makeFirstAdministrator(this::keep).ifPresent(made -> print(made, System.out));
  }

  private void keep(Tokens.Made made) {
    try {
      Path folder = file.getParent();
      if (folder != null) {
        PrivateFiles.createFolders(folder);
      }
      Path unfinished = file.resolveSibling(file.getFileName() + ".part");
      Files.deleteIfExists(unfinished);
      try (FileChannel channel = PrivateFiles.create(unfinished)) {
        channel.write(ByteBuffer.wrap((made.text() + "\n").getBytes(StandardCharsets.UTF_8)));
        channel.force(true);
      }
      Files.move(unfinished, file, StandardCopyOption.ATOMIC_MOVE);
    } catch (IOException failure) {
      throw new StartRefused(
          "the first administrator's token cannot be written to %s (%s). Set"
                  .formatted(file, failure)
              + " tarebook.first-token-file to a file that the service can write.",
          failure);
    }
  }

  private void print(Tokens.Made made, PrintStream out) {
    String port =
        environment.getProperty(
            "local.server.port", environment.getProperty("server.port", "8080"));
    out.printf(
        """

        %1$s
          This record has no administrator yet. The token in this file is one until
          %2$s; only the owner of the file can read it:

          %3$s

          Make your own administrator token with it, then those of stations, persons
          and systems. Then delete the file.

        curl -X POST http://localhost:%4$s/api/v1/tokens \\
          -H "Authorization: Bearer $(cat '%3$s')" \\
          -H 'Content-Type: application/json' \\
          -d '{"name": "Your Name", "kind": "PERSON", "role": "ADMIN"}'
        %1$s

        """,
        EDGE, made.token().expiresAt(), file, port);
    out.flush();
  }
}
