package org.tarebook.storage;

import com.zaxxer.hikari.HikariDataSource;
import com.zaxxer.hikari.SQLExceptionOverride;
import java.sql.Connection;
import java.sql.SQLException;
import org.springframework.beans.factory.BeanCreationException;
import org.springframework.beans.factory.ObjectProvider;
import org.springframework.beans.factory.config.BeanPostProcessor;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.boot.health.contributor.HealthIndicator;
import org.springframework.boot.jdbc.autoconfigure.JdbcConnectionDetails;
import org.springframework.context.ApplicationEventPublisher;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.jdbc.datasource.AbstractDataSource;

/**
 * How the service, which answers others, bears a database that fails: its pool opens connections by
 * {@link DatabaseConnections}, and gives none out again that found the database away. Commands
 * (backup, restore) and migrations wait for locks as long as it takes.
 */
@Configuration(proxyBeanMethods = false)
@ConditionalOnWebApplication
class ServiceDatabase {

  @Bean
  DatabaseConnections databaseConnections(
      JdbcConnectionDetails details, ApplicationEventPublisher events, Outages outages) {
    return new DatabaseConnections(details, events, outages);
  }

  /** A part of readiness. */
  @Bean
  HealthIndicator databaseHealthIndicator(DatabaseConnections connections) {
    return new DatabaseHealth(connections);
  }

  @Bean
  static BeanPostProcessor pooled(ObjectProvider<DatabaseConnections> connections) {
    return new BeanPostProcessor() {
      @Override
      public Object postProcessBeforeInitialization(Object bean, String name) {
        if (bean instanceof HikariDataSource pool) {
          fill(pool, connections.getObject());
        }
        return bean;
      }
    };
  }

  private static void fill(HikariDataSource pool, DatabaseConnections connections) {
    String url = String.valueOf(pool.getJdbcUrl());
    if (url.startsWith("jdbc:postgresql:")) {
      try {
        new DatabaseAtStart(url, connections).await();
      } catch (SQLException failure) {
        throw new BeanCreationException("The database refuses the service", failure);
      } catch (InterruptedException interrupted) {
        Thread.currentThread().interrupt();
        throw new BeanCreationException("Interrupted while waiting for the database", interrupted);
      }
    }
    pool.setDataSource(new Source(connections));
    pool.setExceptionOverride(new Evicting(connections));
  }

  /** What the pool takes its connections from. */
  private static final class Source extends AbstractDataSource {

    private final DatabaseConnections connections;

    Source(DatabaseConnections connections) {
      this.connections = connections;
    }

    @Override
    public Connection getConnection() throws SQLException {
      return connections.open();
    }

    @Override
    public Connection getConnection(String user, String password) throws SQLException {
      return connections.open();
    }
  }

  /** Has the pool drop a connection that found the database away. */
  private static final class Evicting implements SQLExceptionOverride {

    private final DatabaseConnections connections;

    Evicting(DatabaseConnections connections) {
      this.connections = connections;
    }

    @java.lang.Override
    public SQLExceptionOverride.Override adjudicate(SQLException failure) {
      if (DatabaseFailure.of(failure).filter(DatabaseFailure.AWAY::equals).isEmpty()) {
        return SQLExceptionOverride.Override.CONTINUE_EVICT;
      }
      connections.lost();
      return SQLExceptionOverride.Override.MUST_EVICT;
    }
  }
}
