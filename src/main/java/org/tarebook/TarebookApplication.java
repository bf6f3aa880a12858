package org.tarebook;

import org.springframework.boot.SpringApplication;
import org.springframework.boot.autoconfigure.SpringBootApplication;
import org.springframework.boot.security.autoconfigure.UserDetailsServiceAutoConfiguration;
import org.springframework.scheduling.annotation.EnableScheduling;

/** Starts Tarebook, the quality record of a tyre plant's shop floor. */
@EnableScheduling
@SpringBootApplication(exclude = UserDetailsServiceAutoConfiguration.class)
public class TarebookApplication {

  /**
   * Starts the service.
   *
   * @param args command-line settings, as Spring Boot reads them
   */
  public static void main(String[] args) {
    SpringApplication.run(TarebookApplication.class, args);
  }
}
