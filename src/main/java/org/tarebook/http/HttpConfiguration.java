package org.tarebook.http;

import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.format.FormatterRegistry;
import org.springframework.web.servlet.config.annotation.InterceptorRegistry;
import org.springframework.web.servlet.config.annotation.WebMvcConfigurer;

/** Times in parameters, unknown parameters, and the server's clock. */
@Configuration(proxyBeanMethods = false)
class HttpConfiguration implements WebMvcConfigurer {

  @Override
  public void addFormatters(FormatterRegistry registry) {
    registry.addConverter(String.class, Instant.class, Times::parse);
  }

  @Override
  public void addInterceptors(InterceptorRegistry registry) {
    registry.addInterceptor(new KnownParameters());
  }

  /** The server's clock, to the microsecond that the database keeps. */
  @Bean
  Clock clock() {
    return Clock.tick(Clock.systemUTC(), Duration.of(1, ChronoUnit.MICROS));
  }
}
