package org.tarebook;

import org.springframework.boot.SpringApplication;
import org.springframework.boot.autoconfigure.SpringBootApplication;
import org.springframework.boot.security.autoconfigure.UserDetailsServiceAutoConfiguration;

/** Starts Tarebook, the quality record of a tyre plant's shop floor. */
@SpringBootApplication(exclude = UserDetailsServiceAutoConfiguration.class)
public class TarebookApplication {

  /**
   * Starts the service, or runs a command where the first argument names one.
   *
   * @param args command-line settings, as Spring Boot reads them; or a command with its arguments
   */
  public static void main(String[] args) {
    if (CommandLine.asks(args)) {
      System.exit(CommandLine.run(args, System.out, System.err));
    }
    SpringApplication.run(TarebookApplication.class, args);
  }
}
