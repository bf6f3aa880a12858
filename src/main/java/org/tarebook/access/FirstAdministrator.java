package org.tarebook.access;

import java.io.PrintStream;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.boot.context.event.ApplicationReadyEvent;
import org.springframework.context.event.EventListener;
import org.springframework.core.Ordered;
import org.springframework.core.annotation.Order;
import org.springframework.core.env.Environment;
import org.springframework.stereotype.Component;

/**
 * Opens a plant that nobody can administer yet: prints a token for the first 24 hours, with which
 * the real ones are made. It stands on standard output once and is not in the log.
 */
@Component
@ConditionalOnWebApplication
class FirstAdministrator {

  private static final String EDGE = "=".repeat(78);

  private final Tokens tokens;
  private final Environment environment;

  FirstAdministrator(Tokens tokens, Environment environment) {
    this.tokens = tokens;
    this.environment = environment;
  }

  /** Runs behind whatever else makes tokens at the start. */
  @EventListener(ApplicationReadyEvent.class)
  @Order(Ordered.LOWEST_PRECEDENCE)
  void open() {
    tokens.makeFirstAdministrator().ifPresent(made -> print(made, System.out));
  }

  private void print(Tokens.Made made, PrintStream out) {
    String port =
        environment.getProperty(
            "local.server.port", environment.getProperty("server.port", "8080"));
    out.printf(
        """

        %1$s
          Nobody can administer this record yet. This token can, until %2$s.
          It is shown this once. Make your own administrator token with it, then those
          of stations, persons and systems:

          %3$s

        curl -X POST http://localhost:%4$s/api/v1/tokens \\
          -H 'Authorization: Bearer %3$s' \\
          -H 'Content-Type: application/json' \\
          -d '{"name": "Your Name", "kind": "PERSON", "role": "ADMIN"}'
        %1$s

        """,
        EDGE, made.token().expiresAt(), made.text(), port);
    out.flush();
  }
}
