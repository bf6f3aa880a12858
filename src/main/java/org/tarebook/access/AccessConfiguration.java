package org.tarebook.access;

import static org.springframework.http.HttpMethod.GET;
import static org.springframework.http.HttpMethod.HEAD;
import static org.springframework.http.HttpMethod.OPTIONS;
import static org.springframework.security.web.servlet.util.matcher.PathPatternRequestMatcher.pathPattern;

import jakarta.servlet.DispatcherType;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import java.util.List;
import org.springdoc.core.utils.SpringDocUtils;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.security.config.annotation.web.builders.HttpSecurity;
import org.springframework.security.config.annotation.web.configurers.AbstractHttpConfigurer;
import org.springframework.security.config.http.SessionCreationPolicy;
import org.springframework.security.config.observation.SecurityObservationSettings;
import org.springframework.security.web.SecurityFilterChain;
import org.springframework.security.web.access.ExceptionTranslationFilter;
import org.springframework.security.web.header.writers.ReferrerPolicyHeaderWriter.ReferrerPolicy;
import org.springframework.web.method.support.HandlerMethodArgumentResolver;
import org.springframework.web.servlet.config.annotation.WebMvcConfigurer;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;
import org.tarebook.audit.Actor;

/** Security: stateless, by bearer token, and by the {@link PermissionTable}. */
@Configuration(proxyBeanMethods = false)
class AccessConfiguration implements WebMvcConfigurer {

  private static final String OWN_CONTENT_ONLY =
      "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:;"
          + " object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

  static {
    SpringDocUtils.getConfig().addRequestWrapperToIgnore(Actor.class);
  }

  @Override
  public void addArgumentResolvers(List<HandlerMethodArgumentResolver> resolvers) {
    resolvers.add(new ActorArgument());
  }

  /** Filters of the chain are not timed one by one: it took longer than most of them. */
  @Bean
  static SecurityObservationSettings securityObservations() {
    return SecurityObservationSettings.noObservations();
  }

  /** The chain every request goes through; the first of its rows that fits decides. */
  @Bean
  SecurityFilterChain securityFilterChain(
      HttpSecurity http,
      Tokens tokens,
      LastUse lastUse,
      Refusals refusals,
      RefusedRequests refused,
      JdbcClient jdbc,
      @Qualifier("requestMappingHandlerMapping") RequestMappingHandlerMapping mapping) {
    Permission anyone = Permission.of(Role.values());
    return http.authorizeHttpRequests(
            may -> {
              may.dispatcherTypeMatchers(
                      DispatcherType.ERROR, DispatcherType.ASYNC, DispatcherType.INCLUDE)
                  .permitAll();
              // Which methods an address answers
              may.requestMatchers(OPTIONS, "/**").access(anyone);
              PermissionTable.ROWS.forEach(
                  row -> may.requestMatchers(row.requests()).access(row.permission()));
              // What answers at no address is told so
              may.requestMatchers(request -> !answered(mapping, request)).access(anyone);
              may.requestMatchers(pathPattern(GET, "/api/v1/**"), pathPattern(HEAD, "/api/v1/**"))
                  .access(new StationReads(jdbc));
              // What is in no row above is denied
              may.anyRequest().denyAll();
            })
        .addFilterBefore(
            new BearerFilter(tokens, lastUse, refusals, refused), ExceptionTranslationFilter.class)
        .exceptionHandling(
            handling -> handling.authenticationEntryPoint(refusals).accessDeniedHandler(refusals))
        .sessionManagement(
            session -> session.sessionCreationPolicy(SessionCreationPolicy.STATELESS))
        .headers(
            headers ->
                headers
                    .contentSecurityPolicy(policy -> policy.policyDirectives(OWN_CONTENT_ONLY))
                    .referrerPolicy(referrer -> referrer.policy(ReferrerPolicy.NO_REFERRER)))
        .csrf(AbstractHttpConfigurer::disable)
        .formLogin(AbstractHttpConfigurer::disable)
        .httpBasic(AbstractHttpConfigurer::disable)
        .logout(AbstractHttpConfigurer::disable)
        .requestCache(AbstractHttpConfigurer::disable)
        .build();
  }

  /**
   * Whether a controller of any kind answers here. A method or form of body that it does not take
   * is told by the dispatcher.
   */
  private static boolean answered(
      RequestMappingHandlerMapping mapping, HttpServletRequest request) {
    try {
      return mapping.getHandler(request) != null;
    } catch (ServletException notThisWay) {
      return false;
    } catch (Exception unexpected) {
      throw new IllegalStateException("No handler could be looked up", unexpected);
    }
  }
}
